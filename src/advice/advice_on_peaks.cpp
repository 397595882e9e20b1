#include <algorithm>
#include <map>
#include <string>

#include "advice/advice_on.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"

namespace earbudget {

namespace {

/// The peak that is lacking: its level and place.
Message peak_of(const Plan& plan, const Person& person, const ExposureRow& row, const RowPeak& peak,
                bool unweighted) {
    const SourcePosition& where =
        row.sequence ? plan.sequences[*row.sequence].stated_at : person.tasks[*row.task].stated_at;
    return say<AdvicePhrase::PeakOf>(unweighted, peak.name, !where.file.empty(),
                                     where.file.empty() ? "" : where.text());
}

/// Why no bound stands in.
Message why_no_bound(const Plan& plan, const Person& person, const ExposureRow& row,
                     const RowPeak& peak, const CriterionResult& result) {
    if (peak.bound) {
        return say<AdvicePhrase::BoundCouldReach>(peak.bound->above,
                                                  peak.bound->for_unweighted.dB() > 0.0,
                                                  *peak.at_most_dB(), result.limit);
    }
    if (!row.sequence) return say<AdvicePhrase::NoBoundForOtherNoise>();
    if (!person.policy.peak_at_most_above_LAeq) return say<AdvicePhrase::NoBoundByPolicy>();
    return say<AdvicePhrase::NoBoundForLevels>(card_behind(plan, person, row).origin.how);
}

struct Wanted {
    Message which;                           ///< level and place
    Message why;                             ///< of the criterion named first
    std::vector<std::string> criteria = {};  ///< ids
};

/// What one row lacks for one limit; none where it lacks nothing.
std::optional<Wanted> wanted(const Plan& plan, const ExposureDay& day, const Person& person,
                             const CriterionResult& result, const RowPeak& peak) {
    const ExposureRow& row = day.rows[peak.row];
    if (peak.stated_dB) {
        if (!peak.C_for_unweighted || *peak.at_most_dB() <= result.limit) return std::nullopt;
        return Wanted{peak_of(plan, person, row, peak, true),
                      say<AdvicePhrase::PeakStandsForIt>(*peak.at_most_dB(), result.limit)};
    }
    if (peak.is_within_by_bound(result.limit)) return std::nullopt;
    return Wanted{peak_of(plan, person, row, peak, false),
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
        return criterion.decides && criterion.is_peak && criterion.verdict == Verdict::Over &&
               criterion.criterion->peak->at_ear == at_ear;
    });
}

void advise_on_unknown_peaks(const Plan& plan, const ExposureDay& day, const PersonResult& result,
                             std::vector<Advice>& advice) {
    const Person& person = *result.person;
    std::vector<Wanted> all;
    for (const CriterionResult& criterion : result.criteria) {
        const bool unknown = criterion.decides && criterion.verdict == Verdict::Unknown;
        if (!criterion.is_peak || !unknown) continue;
        for (const RowPeak& peak : row_peaks(*criterion.criterion->peak, plan, person, day)) {
            if (auto one = wanted(plan, day, person, criterion, peak))
                add(*std::move(one), criterion.criterion->id, all);
        }
    }
    for (const Wanted& one : all) {
        advice.push_back(
            {.code = AdviceCode::MeasureAgain,
             .says = {say<AdvicePhrase::MeasureOrEnter>(one.which, one.criteria, one.why)}});
    }
}

void advise_on_peaks_over(const PersonResult& result, std::vector<Advice>& advice) {
    if (exceeds_a_peak(result, false))
        advice.push_back(
            {.code = AdviceCode::MeasureAgain, .says = {say<AdvicePhrase::PeakOutsideOver>()}});
    const bool helped = std::ranges::any_of(advice, [](const Advice& other) {
        return !other.wears.empty() && other.code != AdviceCode::TooMuchProtection;
    });
    if (exceeds_a_peak(result, true) && !helped)
        advice.push_back(
            {.code = AdviceCode::MeasureAgain, .says = {say<AdvicePhrase::PeakAtEarOver>()}});
}

}  // namespace earbudget
