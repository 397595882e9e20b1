#include "earbudget/limits/judge.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "earbudget/limits/unmeasured.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

namespace {

std::vector<Message> exposure_remark(const Criterion& criterion, const ExposureDay& day,
                                     ExposureParts parts) {
    std::vector<Message> remarks;
    const auto highest = loudest(parts);
    const auto& ceiling = criterion.rule.ceiling;
    if (ExposureLimit(criterion).is_above_ceiling(highest))
        remarks.push_back(say<RemarkPhrase::AboveCeiling>(*highest, *ceiling));
    if (criterion.quantity == ExposureQuantity::WeeklyDose || criterion.weekly_average)
        remarks.push_back(say<RemarkPhrase::OverAWeek>(std::max(day.days_per_week, 1.0)));
    remarks.insert(remarks.end(), criterion.remarks.begin(), criterion.remarks.end());
    if (!criterion.when_above.empty())
        remarks.push_back(say<RemarkPhrase::WhenAbove>(criterion.when_above));
    return remarks;
}

/// What is heard for certain of a row that no method reaches: all of it while nothing is worn, and
/// what is added unreduced.
void keep_what_is_certain(ExposureRow& row) {
    const auto outside = row.outside();
    row.wearing_apart = true;
    row.while_worn = row.unreduced;
    const double energy =
        (1.0 - row.fraction_worn) * relative_energy(*outside) +
        (row.unreduced ? row.fraction_worn * relative_energy(*row.unreduced) : 0.0);
    row.at_ear = level_of_relative_energy<quantity::AWeighted>(energy);
}

/// The day without what no method reaches while a protector is worn.
ExposureDay without_unreached(ExposureDay day) {
    for (ExposureRow& row : day.rows) {
        if (row.is_unreached()) keep_what_is_certain(row);
    }
    return day;
}

/// Why a limit that is exceeded cannot be decided all the same.
void add_why_unknown(const Criterion& criterion, const ExposureDay& day,
                     std::vector<Message>& remarks) {
    std::vector<Message> sounds;
    for (const Unreached& unreached : day.unreached)
        sounds.insert(sounds.end(), unreached.sounds.begin(), unreached.sounds.end());
    remarks.push_back(say<RemarkPhrase::NoMethodReaches>(sounds.empty(), sounds));
    if (const auto value = value_of(criterion, parts_for(criterion, without_unreached(day))))
        remarks.push_back(say<RemarkPhrase::WithoutThat>(*value, is_dose(criterion.quantity)));
}

}  // namespace

Verdict verdict_by(bool over, std::optional<double> probability_over, double accepted) {
    if (over) return Verdict::Over;
    const bool close = probability_over && is_above(*probability_over, accepted);
    return close ? Verdict::Close : Verdict::Within;
}

Verdict exposure_verdict(const Criterion& criterion, const ExposureDay& day) {
    if (!is_over(criterion, parts_for(criterion, day))) return Verdict::Within;
    const bool unreached = std::ranges::any_of(day.rows, &ExposureRow::is_unreached);
    if (!criterion.with_protection || !unreached) return Verdict::Over;
    return is_over(criterion, parts_for(criterion, without_unreached(day))) ? Verdict::Over
                                                                            : Verdict::Unknown;
}

CriterionResult judge_exposure(const Criterion& criterion, const ExposureDay& day) {
    const auto parts = parts_for(criterion, day);
    const Verdict verdict = exposure_verdict(criterion, day);
    const bool over = verdict != Verdict::Within;
    std::vector<Message> remarks;
    if (verdict == Verdict::Unknown) add_why_unknown(criterion, day, remarks);
    std::ranges::move(exposure_remark(criterion, day, parts), std::back_inserter(remarks));
    auto margin = margin_of(criterion, parts);
    // What equals the limit but for the arithmetic is within.
    if (margin && !over) margin = std::max(*margin, LevelDifference(0.0));
    return {.criterion = &criterion,
            .value = value_of(criterion, parts),
            .limit = criterion.limit(),
            .at_ear = criterion.with_protection,
            .margin = margin,
            .verdict = verdict,
            .remarks = std::move(remarks)};
}

namespace {

/// Whether the margin follows from the value: not where a threshold or a ceiling decides.
bool is_by_value(const CriterionResult& result) {
    if (!result.value || !result.margin) return false;
    if (!is_dose(result.criterion->quantity)) return true;
    const ExposureLimit limit(*result.criterion);
    const double used = limit.used_at(result.value);
    constexpr double arithmetic_dB = 1e-6;
    return used > 0.0 && std::abs((*result.margin - limit.margin_of(used)).dB()) < arithmetic_dB;
}

}  // namespace

void add_uncertainty(const MonteCarloResult& drawn, const std::optional<FirstOrder>& first_order,
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

DayExposure exposure_of(const ExposureDay& day) {
    const auto outside = day.outside();
    const auto at_ear = day.at_ear();
    return {.time = total_time(at_ear),
            .LAeq = time_average(outside),
            .at_ear_LAeq = time_average(at_ear),
            .at_ear_LAeq_1h = highest_average(at_ear, averaging_hour),
            .LEX_8h = daily_exposure_level(outside),
            .at_ear_LEX_8h = daily_exposure_level(at_ear),
            .at_ear_Pa2h = sound_exposure_Pa2h(at_ear)};
}

namespace {

// So near to the accepted probability the draws that are set do not decide: eight standard
// deviations of 8192 about 5 % (own choice).
constexpr double near_accepted = 0.02;

/// A lattice of draws is dear to begin with: it is asked only where others leave a doubt.
std::vector<MonteCarloResult> surely_outcomes_of(const Plan& settings, const Person& person,
                                                 const JoinedDays& joined) {
    Plan no_more = settings;
    no_more.draws.draws_of_times = no_more.draws.draws;
    const MonteCarloDay day(no_more, person, joined.day, joined.errors);
    std::optional<MonteCarloDay> more;
    std::vector<MonteCarloResult> outcomes(person.policy.criteria.size());
    const double accepted = person.policy.accepted_probability;
    for (std::size_t n = 0; n < outcomes.size(); ++n) {
        if (!person.policy.criteria[n].is_for(person.role)) continue;
        SureProbability sure = day.sure_probability_of(n);
        if (sure.draws > 0 && std::abs(sure.value - accepted) <= near_accepted) {
            if (!more) more.emplace(settings, person, joined.day, joined.errors);
            sure = more->sure_probability_of(n);
        }
        outcomes[n].probability_over = sure.value;
        outcomes[n].draws = sure.draws;
    }
    return outcomes;
}

std::vector<MonteCarloResult> outcomes_of(const Plan& settings, const Person& person,
                                          const JoinedDays& joined, Drawn drawn) {
    if (drawn == Drawn::AsFewAsAreSure) return surely_outcomes_of(settings, person, joined);
    return MonteCarloDay(settings, person, joined.day, joined.errors).judge();
}

}  // namespace

std::vector<CriterionResult> judge_joined(const DrawSettings& draws, const Person& person,
                                          const JoinedDays& joined,
                                          const std::vector<Message>& unmeasured, Drawn drawn) {
    const Plan settings{.title = {}, .draws = draws};
    const auto outcomes = outcomes_of(settings, person, joined, drawn);
    std::vector<CriterionResult> results;
    for (std::size_t n = 0; n < outcomes.size(); ++n) {
        const Criterion& criterion = person.policy.criteria[n];
        if (!criterion.is_for(person.role)) continue;
        CriterionResult result = judge_exposure(criterion, joined.day);
        // The days are there one by one.
        std::erase(result.remarks, say<RemarkPhrase::OverAWeek>(1.0));
        result.decides = decides(criterion, person);
        if (!joined.errors->segments.empty()) {
            add_uncertainty(outcomes[n], first_order(criterion, joined.day, *joined.errors),
                            person.policy, result);
        }
        limit_by_origin(unmeasured, result);
        results.push_back(std::move(result));
    }
    return results;
}

bool is_over_any(const Person& person, const ExposureDay& day, Limits limits) {
    return std::ranges::any_of(person.policy.criteria, [&](const Criterion& criterion) {
        return counts_for(criterion, person, limits) &&
               is_over(criterion, parts_for(criterion, day));
    });
}

Verdict worst_best_estimate(const Person& person, const ExposureDay& day, Limits limits) {
    std::optional<Verdict> worst;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!counts_for(criterion, person, limits)) continue;
        const Verdict verdict = exposure_verdict(criterion, day);
        if (!worst || verdict > *worst) worst = verdict;
    }
    return worst.value_or(Verdict::Unknown);
}

void leave_undecided(std::vector<CriterionResult>& criteria) {
    for (CriterionResult& result : criteria) {
        result.verdict = std::max(result.verdict, Verdict::Unknown);
        result.limited_by_origin = false;
        result.made_for_others = result.verdict == Verdict::Unknown;
        if (result.made_for_others) result.remarks.push_back(say<RemarkPhrase::MadeForOthers>());
    }
}

Tightness tightness_of(const CriterionResult& result) {
    return {result.verdict, result.by_bound ? std::nullopt : result.margin};
}

bool is_tighter(const Tightness& one, const Tightness& other) {
    if (one.verdict != other.verdict) return one.verdict > other.verdict;
    return one.left && (!other.left || *one.left < *other.left);
}

bool is_tighter(const CriterionResult& one, const CriterionResult& other) {
    return is_tighter(tightness_of(one), tightness_of(other));
}

const CriterionResult* tightest_of(const std::vector<const CriterionResult*>& limits) {
    const CriterionResult* tightest = nullptr;
    for (const CriterionResult* limit : limits) {
        if (limit->decides && (!tightest || is_tighter(*limit, *tightest))) tightest = limit;
    }
    return tightest;
}

const CriterionResult* tightest_limit(const PersonResult& person, bool with_peaks) {
    std::vector<const CriterionResult*> limits;
    for (const CriterionResult& result : person.criteria)
        if (with_peaks || !result.is_peak) limits.push_back(&result);
    return tightest_of(limits);
}

Verdict worst_exposure_verdict(const Plan& plan, const Person& person, const ExposureDay& day,
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
