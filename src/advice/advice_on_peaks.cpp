#include "advice/advice_on_peaks.hpp"

#include <algorithm>
#include <map>
#include <string>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"

namespace earbudget {

namespace {

/// "epi" (cards/epi.toml:4:1)
std::string named(const Plan& plan, const Person& person, const HeardRow& row,
                  const RowPeak& peak) {
    const SourcePosition& where =
        row.sequence ? plan.sequences[*row.sequence].stated_at : person.tasks[*row.task].stated_at;
    return where.file.empty() ? fmt::format("\"{}\"", peak.name)
                              : fmt::format("\"{}\" ({})", peak.name, where.text());
}

/// Why no bound stands in.
std::string why_no_bound(const Plan& plan, const Person& person, const HeardRow& row,
                         const RowPeak& peak, const CriterionResult& result) {
    if (peak.bound) {
        return fmt::format(
            "by LAeq + {:g} dB and 1.64 u{} it could reach {:.1f} dB, above {:.1f} dB",
            peak.bound->above.dB(), peak.bound->for_unweighted.dB() > 0.0 ? " + 3 dB" : "",
            *peak.at_most_dB(), result.limit);
    }
    if (!row.sequence) return "no bound is taken for other noise";
    if (!person.policy.peak_at_most_above_LAeq) return "the policy takes no bound";
    return fmt::format("no bound is taken for levels that are {}",
                       card_behind(plan, person, row).origin.how);
}

struct Wanted {
    std::string which;                       ///< level and place
    std::string why;                         ///< of the criterion named first
    std::vector<std::string> criteria = {};  ///< ids
};

/// What one row lacks for one limit; none where it lacks nothing.
std::optional<Wanted> wanted(const Plan& plan, const HearingDay& day, const Person& person,
                             const CriterionResult& result, const RowPeak& peak) {
    const HeardRow& row = day.rows[peak.row];
    if (peak.stated_dB) {
        if (!peak.C_for_unweighted || *peak.at_most_dB() <= result.limit) return std::nullopt;
        return Wanted{
            "LZpeak of " + named(plan, person, row, peak),
            fmt::format("LCpeak stands for it, and it may reach {:.1f} dB, above {:.1f} dB",
                        *peak.at_most_dB(), result.limit)};
    }
    if (peak.is_within_by_bound(result.limit)) return std::nullopt;
    return Wanted{"LCpeak of " + named(plan, person, row, peak),
                  why_no_bound(plan, person, row, peak, result)};
}

void add(Wanted fresh, const std::string& criterion, std::vector<Wanted>& all) {
    const auto same = std::ranges::find(all, fresh.which, &Wanted::which);
    Wanted& wanted = same == all.end() ? all.emplace_back(std::move(fresh)) : *same;
    if (std::ranges::find(wanted.criteria, criterion) == wanted.criteria.end())
        wanted.criteria.push_back(criterion);
}

}  // namespace

bool exceeds_a_peak(const PersonResult& result, bool at_ear) {
    return std::ranges::any_of(result.criteria, [at_ear](const CriterionResult& criterion) {
        return criterion.decides && criterion.quantity == "peak" &&
               criterion.verdict == Verdict::Over && criterion.criterion->peak->at_ear == at_ear;
    });
}

void advise_on_unknown_peaks(const Plan& plan, const HearingDay& day, const PersonResult& result,
                             std::vector<Advice>& advice) {
    const Person& person = *result.person;
    std::vector<Wanted> all;
    for (const CriterionResult& criterion : result.criteria) {
        const bool unknown = criterion.decides && criterion.verdict == Verdict::Unknown;
        if (criterion.quantity != "peak" || !unknown) continue;
        for (const RowPeak& peak : row_peaks(*criterion.criterion->peak, plan, person, day)) {
            if (auto one = wanted(plan, day, person, criterion, peak))
                add(*std::move(one), criterion.criterion->id, all);
        }
    }
    for (const Wanted& one : all) {
        advice.push_back(
            {.code = AdviceCode::MeasureAgain,
             .text = fmt::format("Measure or enter {}: without it {} cannot be "
                                 "decided, since {}.",
                                 one.which, fmt::join(one.criteria, " and "), one.why)});
    }
}

void advise_on_peaks_over(const PersonResult& result, std::vector<Advice>& advice) {
    if (exceeds_a_peak(result, false)) {
        advice.push_back({.code = AdviceCode::MeasureAgain,
                          .text = "A peak is above its limit outside the protector: neither a "
                                  "shorter time nor this computation can mend that. Measure the "
                                  "peak again and do not run the sequence before it is lower."});
    }
    const bool helped = std::ranges::any_of(advice, [](const Advice& other) {
        return !other.wears.empty() && other.code != AdviceCode::TooMuchProtection;
    });
    if (exceeds_a_peak(result, true) && !helped) {
        advice.push_back(
            {.code = AdviceCode::MeasureAgain,
             .text = "A peak at the ear is above its limit, and nothing that may be worn, alone "
                     "and well seated, is known to bring it below: a shorter time cannot mend "
                     "that. Measure the peak again and do not run the sequence before it is "
                     "lower."});
    }
}

}  // namespace earbudget
