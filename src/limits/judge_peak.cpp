#include <algorithm>
#include <set>
#include <string>

#include <fmt/format.h>

#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

using RowPeaks = std::vector<RowPeak>;

bool is_unknown(const RowPeak& peak, double limit_dB) {
    return !peak.stated_dB && !peak.is_within_by_bound(limit_dB);
}

/// Names of what satisfies a condition, each once.
template <class Condition>
std::string names_where(const RowPeaks& peaks, const Condition& holds) {
    std::set<std::string> names;
    for (const RowPeak& peak : peaks) {
        if (holds(peak)) names.insert(peak.name);
    }
    return names.empty() ? "" : fmt::format("\"{}\"", fmt::join(names, "\", \""));
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

std::string reduction_words(const RowPeak& peak) {
    const PeakReduction& worn = *peak.worn;
    const bool by_M = worn.form == PeakReduction::Form::Usual;
    std::string text = by_M ? fmt::format("M {:g} − Ks {:g} dB", worn.M.dB(), worn.Ks.dB())
                            : fmt::format("L {:g} − Ks {:g} − 5 dB", worn.L.dB(), worn.Ks.dB());
    if (worn.form == PeakReduction::Form::SmallerOfBoth) {
        text = fmt::format(
            "the smaller of M {:g} − Ks {:g} and L {:g} − Ks {:g} − 5 dB, since "
            "low_frequency is not stated",
            worn.M.dB(), worn.Ks.dB(), worn.L.dB(), worn.Ks.dB());
    }
    if (peak.reduction < worn.reduction) text = "what the fit test gives, less than " + text;
    return text;
}

/// Where the peak is looked at, and why.
std::string place_remark(const Criterion& criterion, const RowPeaks& peaks,
                         const RowPeak* highest) {
    if (!criterion.peak->at_ear) {
        return !criterion.with_protection
                   ? "compares the peak outside the protector: this limit counts no protectors"
               : criterion.peak->weighting == PeakLimit::Weighting::None
                   ? "compares the peak outside the protector: this limit is on the unweighted "
                     "peak, and the "
                     "method for a peak under a protector is for the C-weighted one"
                   : "compares the peak outside the protector, on which this limit is";
    }
    std::string text = "compares the peak at the ear";
    if (highest && highest->worn) {
        text += fmt::format(
            ", {:.1f} dB less than outside by DGUV Information 212-024, annex 1 (edition not "
            "confirmed): {}",
            highest->reduction.dB(), reduction_words(*highest));
    }
    std::set<std::string_view> outside;
    for (const RowPeak& peak : peaks) {
        if (peak.why_outside) outside.insert(words_of(*peak.why_outside));
    }
    for (const std::string_view why : outside)
        text += fmt::format("; as outside where {}", why);
    return text;
}

std::string bound_words(const RowPeaks& peaks, double limit_dB) {
    const std::string names =
        names_where(peaks, [&](const RowPeak& peak) { return peak.is_within_by_bound(limit_dB); });
    const RowPeak* highest = nullptr;
    for (const RowPeak& peak : peaks) {
        if (!peak.is_within_by_bound(limit_dB)) continue;
        if (!highest || peak.at_most_dB() > highest->at_most_dB()) highest = &peak;
    }
    if (!highest) return "";
    return fmt::format(
        "by a bound, since no peak is stated for {}: at most {:.1f} dB, taken {:g} dB above LAeq "
        "({}), and 1.64 u{}",
        names, *highest->at_most_dB(), highest->bound->above.dB(),
        highest->bound->by_measured_cards ? "by the plan's measured cards and 3 dB"
                                          : "peak_at_most_above_LAeq, own choice",
        highest->bound->for_unweighted.dB() > 0.0 ? ", and 3 dB for the unweighted peak" : "");
}

std::string peak_remark(const Criterion& criterion, const RowPeaks& peaks, double limit_dB,
                        const RowPeak* highest) {
    std::string text = place_remark(criterion, peaks, highest);
    if (std::ranges::any_of(peaks, &RowPeak::C_for_unweighted)) {
        text +=
            "; LCpeak stands for the unweighted peak, which is not stated and may be up to 3 dB "
            "higher, more where the sound lies below 31.5 Hz or above 8 kHz";
    }
    if (const std::string bound = bound_words(peaks, limit_dB); !bound.empty()) {
        text += "; " + bound;
    }
    const std::string unknown =
        names_where(peaks, [&](const RowPeak& peak) { return is_unknown(peak, limit_dB); });
    if (unknown.empty()) return text;
    if (const RowPeak* known = highest_of(peaks, false))
        text += fmt::format("; highest known {:.1f} dB", *known->counted_dB());
    return text + fmt::format("; no peak is stated for {}", unknown);
}

/// Whose peak must be known, and why no bound stands in for it.
void warn_of_unknown(const Criterion& criterion, const Person& person, const RowPeaks& peaks,
                     double limit_dB, std::vector<Warning>& warnings) {
    const std::string unknown =
        names_where(peaks, [&](const RowPeak& peak) { return is_unknown(peak, limit_dB); });
    if (unknown.empty()) return;
    warnings.push_back(warning_for(
        person, "peak-unknown",
        fmt::format("the peak limit of {} cannot be judged, since no peak is stated for {}; enter "
                    "LCpeak{}",
                    criterion.id, unknown,
                    criterion.peak->weighting == PeakLimit::Weighting::None ? " or LZpeak" : "")));
}

}  // namespace

std::optional<CriterionResult> judge_peak(const Criterion& criterion, const Plan& plan,
                                          const Person& person, const HearingDay& day,
                                          std::vector<Warning>& warnings, Trace* trace,
                                          const std::string& key) {
    if (!criterion.peak) return std::nullopt;
    const RowPeaks peaks = row_peaks(*criterion.peak, plan, person, day);
    if (peaks.empty()) return std::nullopt;
    const double limit_dB = level_of<quantity::CWeightedPeak>(criterion.peak->pressure).dB();
    warn_of_unknown(criterion, person, peaks, limit_dB, warnings);
    const auto probability = peak_probability(peaks, limit_dB);
    CriterionResult result{
        .criterion = &criterion,
        .quantity = "peak",
        .unit = "dB",
        .value = std::nullopt,
        .limit = limit_dB,
        .at_ear = criterion.peak->at_ear &&
                  std::ranges::none_of(
                      peaks, [](const RowPeak& peak) { return peak.why_outside.has_value(); }),
        .probability_over = probability,
        .verdict = peak_verdict(peaks, limit_dB, probability, person.policy.accepted_probability)};
    const bool decided = result.verdict == Verdict::Within || result.verdict == Verdict::Close;
    result.by_bound =
        decided && std::ranges::any_of(peaks, [](const RowPeak& peak) { return !peak.stated_dB; });
    const RowPeak* highest = highest_of(peaks, result.by_bound);
    // The highest known tells nothing of one that is not known.
    const bool not_known =
        result.verdict == Verdict::Unknown &&
        std::ranges::any_of(peaks, [&](const RowPeak& peak) { return is_unknown(peak, limit_dB); });
    if (not_known) result.probability_over = std::nullopt;
    if (highest && !not_known) {
        result.value = highest->stated_dB ? highest->counted_dB() : highest->at_most_dB();
        result.margin = LevelDifference(limit_dB - *result.value);
    }
    result.remark = peak_remark(criterion, peaks, limit_dB, highest);
    if (trace) leave_peak_criterion(plan, person, day, peaks, result, key, *trace);
    return result;
}

std::optional<Verdict> worst_peak_verdict(const Plan& plan, const Person& person,
                                          const HearingDay& day, PeakPlace where) {
    std::optional<Verdict> worst;
    std::vector<Warning> said_by_assess;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!decides(criterion, person) || !criterion.peak) continue;
        const PeakPlace place = criterion.peak->at_ear ? PeakPlace::AtEar : PeakPlace::Outside;
        if (where != PeakPlace::Anywhere && where != place) continue;
        const auto result = judge_peak(criterion, plan, person, day, said_by_assess);
        if (result) worst = std::max(worst, std::optional(result->verdict));
    }
    return worst;
}

}  // namespace earbudget
