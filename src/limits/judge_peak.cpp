#include <algorithm>
#include <set>
#include <string>

#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "earbudget/limits/unmeasured.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

using RowPeaks = std::vector<RowPeak>;

bool is_unknown(const RowPeak& peak, double limit_dB) {
    return !peak.stated_dB && !peak.is_within_by_bound(limit_dB);
}

/// Names of what satisfies a condition, each once.
template <class Condition>
std::set<std::string> names_where(const RowPeaks& peaks, const Condition& holds) {
    std::set<std::string> names;
    for (const RowPeak& peak : peaks) {
        if (holds(peak)) names.insert(peak.name);
    }
    return names;
}

/// The row whose peak is the highest as the limit looks at it; with bounds or without, null where
/// none is known.
const RowPeak* highest_of(const RowPeaks& peaks, bool with_bounds) {
    const RowPeak* highest = nullptr;
    const auto level = [](const RowPeak& peak) {
        return peak.stated_dB ? peak.counted_dB() : peak.at_most_dB();
    };
    for (const RowPeak& peak : peaks) {
        if (!peak.stated_dB && !(with_bounds && peak.bound)) continue;
        if (!highest || level(peak) > level(*highest)) highest = &peak;
    }
    return highest;
}

/// The largest of all: errors are shared, so that the one most likely over decides.
std::optional<double> peak_probability(const RowPeaks& peaks, double limit_dB) {
    std::optional<double> largest;
    for (const RowPeak& peak : peaks) {
        if (!peak.stated_dB) continue;
        largest = std::max(largest, std::optional(peak.probability_over(limit_dB)));
    }
    return largest;
}

Verdict peak_verdict(const RowPeaks& peaks, double limit_dB, std::optional<double> probability,
                     double accepted) {
    const auto is_over = [&](const RowPeak& peak) {
        // The C-weighted peak may lie this much below an unweighted one that stands for it.
        const double lower = peak.unweighted_for_C ? most_taken_by_C.dB() : 0.0;
        return peak.stated_dB && *peak.counted_dB() - lower - limit_dB > level_slack.dB();
    };
    if (std::ranges::any_of(peaks, is_over)) return Verdict::Over;
    const bool unknown = std::ranges::any_of(peaks, [&](const RowPeak& peak) {
        const bool may_be_over = (peak.C_for_unweighted || peak.unweighted_for_C) &&
                                 *peak.at_most_dB() - limit_dB > level_slack.dB();
        return may_be_over || is_unknown(peak, limit_dB);
    });
    return unknown ? Verdict::Unknown : verdict_by(false, probability, accepted);
}

Message formula_of(const PeakReduction& worn) {
    switch (worn.form) {
        case PeakReduction::Form::Usual:
            return say<RemarkPhrase::ReductionByM>(worn.M, worn.Ks);
        case PeakReduction::Form::LowFrequency:
            return say<RemarkPhrase::ReductionByL>(worn.L, worn.Ks);
        case PeakReduction::Form::SmallerOfBoth:
            break;
    }
    return say<RemarkPhrase::SmallerReduction>(worn.M, worn.Ks, worn.L);
}

/// Where the peak is looked at, and why.
void add_place(const Criterion& criterion, const RowPeaks& peaks, const RowPeak* highest,
               std::vector<Message>& remarks) {
    enum class Why { NoProtectorsCount, Unweighted, SoStated };
    if (!criterion.peak->at_ear) {
        remarks.push_back(say<RemarkPhrase::PeakOutside>(
            !criterion.with_protection                                ? Why::NoProtectorsCount
            : criterion.peak->weighting == PeakLimit::Weighting::None ? Why::Unweighted
                                                                      : Why::SoStated));
        return;
    }
    Message less;
    if (highest && highest->worn) {
        const PeakReduction& worn = *highest->worn;
        less = say<RemarkPhrase::LessThanOutside>(
            highest->reduction, highest->reduction < worn.reduction, formula_of(worn));
    }
    remarks.push_back(say<RemarkPhrase::PeakAtEar>(less));
    std::set<WhyOutside> outside;
    for (const RowPeak& peak : peaks) {
        if (peak.why_outside) outside.insert(*peak.why_outside);
    }
    for (const WhyOutside why : outside)
        remarks.push_back(say<RemarkPhrase::AsOutside>(why));
}

void add_bound(const RowPeaks& peaks, double limit_dB, std::vector<Message>& remarks) {
    const RowPeak* highest = nullptr;
    for (const RowPeak& peak : peaks) {
        if (!peak.is_within_by_bound(limit_dB)) continue;
        if (!highest || peak.at_most_dB() > highest->at_most_dB()) highest = &peak;
    }
    if (!highest) return;
    remarks.push_back(say<RemarkPhrase::ByBound>(
        names_where(peaks, [&](const RowPeak& peak) { return peak.is_within_by_bound(limit_dB); }),
        *highest->at_most_dB(), highest->bound->above, highest->bound->by_measured_cards,
        highest->bound->for_unweighted.dB() > 0.0));
}

std::vector<Message> peak_remarks(const Criterion& criterion, const RowPeaks& peaks,
                                  double limit_dB, const std::set<std::string>& unknown,
                                  const RowPeak* highest) {
    std::vector<Message> remarks;
    add_place(criterion, peaks, highest, remarks);
    if (std::ranges::any_of(peaks, &RowPeak::C_for_unweighted))
        remarks.push_back(say<RemarkPhrase::CForUnweighted>());
    add_bound(peaks, limit_dB, remarks);
    if (unknown.empty()) return remarks;
    if (const RowPeak* known = highest_of(peaks, false))
        remarks.push_back(say<RemarkPhrase::HighestKnown>(
            *known->counted_dB(), criterion.peak->weighting != PeakLimit::Weighting::None));
    remarks.push_back(say<RemarkPhrase::NoPeakStated>(unknown));
    return remarks;
}

}  // namespace

std::optional<CriterionResult> judge_peaks(const Criterion& criterion, const Person& person,
                                           const std::vector<RowPeak>& peaks,
                                           const std::vector<Message>& unmeasured,
                                           std::vector<Warning>& warnings) {
    if (!criterion.peak || peaks.empty()) return std::nullopt;
    const double limit_dB = level_of<quantity::CWeightedPeak>(criterion.peak->pressure).dB();
    const auto unknown =
        names_where(peaks, [&](const RowPeak& peak) { return is_unknown(peak, limit_dB); });
    if (!unknown.empty()) {
        warnings.push_back(warning_for(
            person,
            say<WarningPhrase::PeakUnknown>(
                criterion.id, unknown, criterion.peak->weighting == PeakLimit::Weighting::None)));
    }
    const auto probability = peak_probability(peaks, limit_dB);
    const Verdict verdict =
        peak_verdict(peaks, limit_dB, probability, person.policy.accepted_probability);
    const bool decided = verdict == Verdict::Within || verdict == Verdict::Close;
    const bool by_bound =
        decided && std::ranges::any_of(peaks, [](const RowPeak& peak) { return !peak.stated_dB; });
    const RowPeak* const highest = highest_of(peaks, by_bound);
    // The highest known tells nothing of one that is not known.
    const bool is_known = highest && (verdict != Verdict::Unknown || unknown.empty());
    std::optional<double> value;
    if (is_known) value = highest->stated_dB ? highest->counted_dB() : highest->at_most_dB();
    CriterionResult result{
        .criterion = &criterion,
        .is_peak = true,
        .value = value,
        .limit = limit_dB,
        .at_ear = criterion.peak->at_ear &&
                  std::ranges::none_of(
                      peaks, [](const RowPeak& peak) { return peak.why_outside.has_value(); }),
        .by_bound = by_bound,
        .margin = value ? std::optional(LevelDifference(limit_dB - *value)) : std::nullopt,
        .probability_over =
            verdict == Verdict::Unknown && !unknown.empty() ? std::nullopt : probability,
        .verdict = verdict,
        .remarks = peak_remarks(criterion, peaks, limit_dB, unknown, highest)};
    limit_by_origin(unmeasured, result);
    return result;
}

std::optional<CriterionResult> judge_peak(const Criterion& criterion, const Plan& plan,
                                          const Person& person, const ExposureDay& day,
                                          std::vector<Warning>& warnings, Trace* trace,
                                          const std::string& key) {
    if (!criterion.peak) return std::nullopt;
    const RowPeaks peaks = row_peaks(*criterion.peak, plan, person, day);
    auto result = judge_peaks(criterion, person, peaks, unmeasured_in(plan, person, day), warnings);
    if (result && trace) leave_peak_criterion(plan, person, day, peaks, *result, key, *trace);
    return result;
}

std::vector<CriterionResult> peak_results(const Plan& plan, const Person& person,
                                          const ExposureDay& day, PeakPlace where) {
    std::vector<CriterionResult> results;
    std::vector<Warning> said_by_assess;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!decides(criterion, person) || !criterion.peak) continue;
        const PeakPlace place = criterion.peak->at_ear ? PeakPlace::AtEar : PeakPlace::Outside;
        if (where != PeakPlace::Anywhere && where != place) continue;
        if (auto result = judge_peak(criterion, plan, person, day, said_by_assess))
            results.push_back(*std::move(result));
    }
    return results;
}

std::optional<Verdict> worst_peak_verdict(const Plan& plan, const Person& person,
                                          const ExposureDay& day, PeakPlace where) {
    const auto results = peak_results(plan, person, day, where);
    if (results.empty()) return std::nullopt;
    const auto by_probability = &CriterionResult::by_probability;
    return std::ranges::max(results, {}, by_probability).by_probability();
}

}  // namespace earbudget
