#include "earbudget/decision/judge.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "decision/work_costs.hpp"
#include "earbudget/decision/drawn_day.hpp"
#include "earbudget/decision/work_meter.hpp"

namespace earbudget {

namespace {

std::string exposure_remark(const Criterion& criterion, const HearingDay& day,
                            ExposureParts parts) {
    std::vector<std::string> remarks;
    const auto highest = loudest(parts);
    const auto& ceiling = criterion.rule.ceiling;
    if (ceiling && highest && *highest > *ceiling) {
        remarks.push_back(
            fmt::format("a level of {:.1f} dB(A) is above {:.0f} dB(A), which is not permitted for "
                        "any time",
                        highest->dB(), ceiling->dB()));
    }
    if (criterion.quantity == ExposureQuantity::WeeklyDose || criterion.weekly_average) {
        const double days = std::max(day.days_per_week, 1.0);
        remarks.push_back(
            fmt::format("over a week with {:g} such day{}", days, days == 1.0 ? "" : "s"));
    }
    if (!criterion.remark.empty()) remarks.push_back(criterion.remark);
    if (!criterion.when_above.empty()) remarks.push_back("above it " + criterion.when_above);
    return fmt::format("{}", fmt::join(remarks, "; "));
}

/// What is heard for certain of a row that no method reaches: all of it while nothing is worn, and
/// what is added unreduced.
void keep_what_is_certain(HeardRow& row) {
    const auto outside = row.outside();
    row.wearing_apart = true;
    row.while_worn = row.unreduced;
    const double energy =
        (1.0 - row.fraction_worn) * relative_energy(*outside) +
        (row.unreduced ? row.fraction_worn * relative_energy(*row.unreduced) : 0.0);
    row.at_ear = level_of_relative_energy<quantity::AWeighted>(energy);
}

/// The day without what no method reaches while a protector is worn.
HearingDay without_unreached(HearingDay day) {
    for (HeardRow& row : day.rows) {
        if (row.is_unreached()) keep_what_is_certain(row);
    }
    return day;
}

/// Why a limit that is exceeded cannot be decided all the same.
std::string unknown_remark(const Criterion& criterion, const HearingDay& day) {
    std::vector<std::string> names;
    for (const Unreached& unreached : day.unreached)
        names.push_back(unreached.name);
    const auto value = value_of(criterion, parts_for(criterion, without_unreached(day)));
    std::string text = fmt::format(
        "cannot be decided: no method reaches {} under what is worn, so that it counts unreduced",
        names.empty() ? "some of it" : fmt::format("{}", fmt::join(names, ", ")));
    if (value) {
        const bool dose = is_dose(criterion.quantity);
        text += dose ? fmt::format("; without {:.1f} %", *value)
                     : fmt::format("; without {:.1f} dB", *value);
    }
    return text;
}

/// Parts in the order in which their levels first come.
class MergedParts {
  public:
    void add(const ExposurePart& part) {
        const auto level = part.level ? std::optional(part.level->dB()) : std::nullopt;
        const auto [place, is_new] = place_of_.try_emplace(level, parts_.size());
        if (is_new) {
            parts_.push_back(part);
        } else {
            parts_[place->second].time += part.time;
        }
    }
    [[nodiscard]] std::vector<ExposurePart> parts() && { return std::move(parts_); }

  private:
    std::vector<ExposurePart> parts_;
    std::map<std::optional<double>, std::size_t> place_of_;
};

/// The parts of a day, their order left open and equal ones made one: sums do not ask for it.
std::vector<ExposurePart> merged_parts(const HearingDay& day, HeardAs as) {
    WorkMeter::spend(cost::judged_row * static_cast<double>(day.rows.size()));
    MergedParts merged;
    std::vector<ExposurePart> of_row;
    for (const HeardRow& row : day.rows) {
        of_row.clear();
        add_parts(row, as, of_row);
        for (ExposurePart& part : of_row) {
            part.time *= static_cast<double>(day.times_a_day(row));
            merged.add(part);
        }
    }
    return std::move(merged).parts();
}

std::vector<ExposurePart> parts_of_a_day(const Criterion& criterion, const HearingDay& day) {
    const HeardAs as = heard_as(criterion);
    if (criterion.quantity != ExposureQuantity::LAeq_1h) return merged_parts(day, as);
    WorkMeter::spend(cost::judged_row * static_cast<double>(day.rows.size() * day.sessions));
    return as == HeardAs::Outside ? day.outside() : day.at_ear();
}

}  // namespace

HeardAs heard_as(const Criterion& criterion) {
    if (!criterion.with_protection) return HeardAs::Outside;
    return is_dose(criterion.quantity) ? HeardAs::AtEarByWearing : HeardAs::AtEar;
}

bool decides(const Criterion& criterion, const Person& person) {
    if (!criterion.is_for(person.role)) return false;
    if (criterion.kind != CriterionKind::ActionValue) return true;
    return std::ranges::none_of(person.policy.criteria, [&](const Criterion& other) {
        return other.is_for(person.role) && other.kind != CriterionKind::ActionValue;
    });
}

Limits limits_for_protection(const Person& person) {
    const bool any = std::ranges::any_of(person.policy.criteria, [&](const Criterion& criterion) {
        return criterion.is_for(person.role) && criterion.with_protection;
    });
    return any ? Limits::WithProtection : Limits::All;
}

bool counts_for(const Criterion& criterion, const Person& person, Limits limits) {
    return decides(criterion, person) && (limits == Limits::All || criterion.with_protection);
}

Verdict verdict_by(bool over, std::optional<double> probability_over, double accepted) {
    if (over) return Verdict::Over;
    const bool close = probability_over && is_above(*probability_over, accepted);
    return close ? Verdict::Close : Verdict::Within;
}

std::vector<ExposurePart> parts_for(const Criterion& criterion, const HearingDay& day) {
    std::vector<ExposurePart> parts = parts_of_a_day(criterion, day);
    const double days = criterion.days_counted(day.days_per_week);
    if (days == 1.0) return parts;
    for (ExposurePart& part : parts)
        part.time *= days;
    return parts;
}

Verdict exposure_verdict(const Criterion& criterion, const HearingDay& day) {
    if (!is_over(criterion, parts_for(criterion, day))) return Verdict::Within;
    const bool unreached = std::ranges::any_of(day.rows, &HeardRow::is_unreached);
    if (!criterion.with_protection || !unreached) return Verdict::Over;
    return is_over(criterion, parts_for(criterion, without_unreached(day))) ? Verdict::Over
                                                                            : Verdict::Unknown;
}

CriterionResult judge_exposure(const Criterion& criterion, const HearingDay& day) {
    const auto parts = parts_for(criterion, day);
    const Verdict verdict = exposure_verdict(criterion, day);
    const bool over = verdict != Verdict::Within;
    std::string remark = exposure_remark(criterion, day, parts);
    if (verdict == Verdict::Unknown) {
        remark = unknown_remark(criterion, day) + (remark.empty() ? "" : "; ") + remark;
    }
    auto margin = margin_of(criterion, parts);
    // What equals the limit but for the arithmetic is within.
    if (margin && !over) margin = std::max(*margin, LevelDifference(0.0));
    return {.criterion = &criterion,
            .quantity = std::string(name_of(criterion.quantity)),
            .unit = is_dose(criterion.quantity) ? "percent" : "dB",
            .value = value_of(criterion, parts),
            .limit = criterion.limit(),
            .at_ear = criterion.with_protection,
            .margin = margin,
            .verdict = verdict,
            .remark = std::move(remark)};
}

namespace {

/// Whether the margin follows from the value: not where a threshold or a ceiling decides.
bool is_by_value(const CriterionResult& result) {
    if (!result.value || !result.margin) return false;
    if (!is_dose(result.criterion->quantity)) return true;
    if (!(*result.value > 0.0)) return false;
    const double by_value =
        result.criterion->rule.exchange.dB() * std::log2(result.limit / *result.value);
    constexpr double arithmetic_dB = 1e-6;
    return std::abs(result.margin->dB() - by_value) < arithmetic_dB;
}

}  // namespace

void add_uncertainty(const DrawnResult& drawn, const std::optional<FirstOrder>& first_order,
                     const Policy& policy, CriterionResult& result) {
    // Draws of what counts unreduced for want of a method tell nothing.
    if (result.verdict == Verdict::Unknown) return;
    result.probability_over = drawn.probability_over;
    result.not_exceeded = drawn.not_exceeded;
    result.draws = drawn.draws;
    if (is_by_value(result)) result.margin_range = drawn.margin_range;
    result.first_order = first_order;
    result.verdict = verdict_by(result.verdict == Verdict::Over, drawn.probability_over,
                                policy.accepted_probability);
}

bool is_over_any(const Person& person, const HearingDay& day, Limits limits) {
    return std::ranges::any_of(person.policy.criteria, [&](const Criterion& criterion) {
        return counts_for(criterion, person, limits) &&
               is_over(criterion, parts_for(criterion, day));
    });
}

Verdict worst_best_estimate(const Person& person, const HearingDay& day, Limits limits) {
    std::optional<Verdict> worst;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!counts_for(criterion, person, limits)) continue;
        const Verdict verdict = exposure_verdict(criterion, day);
        if (!worst || verdict > *worst) worst = verdict;
    }
    return worst.value_or(Verdict::Unknown);
}

Verdict worst_exposure_verdict(const Plan& plan, const Person& person, const HearingDay& day,
                               Limits limits) {
    const bool any = std::ranges::any_of(person.policy.criteria, [&](const Criterion& criterion) {
        return counts_for(criterion, person, limits);
    });
    if (!any) return Verdict::Unknown;
    const Verdict worst = worst_best_estimate(person, day, limits);
    if (worst != Verdict::Within) return worst;
    return perhaps_over(plan, person, day, limits) ? Verdict::Close : Verdict::Within;
}

}  // namespace earbudget
