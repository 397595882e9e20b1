#include <algorithm>
#include <set>
#include <string>

#include <fmt/format.h>

#include "decision/row_level_errors.hpp"
#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/decision/judge.hpp"

namespace earbudget {

namespace {

struct Peak {
    double dB;
    bool c_for_unweighted;  // LCpeak where the limit is on the unweighted peak
    LevelDifference uncertainty;
};

// The peak of one sound that a limit looks at. Where both are stated the higher one counts for an
// unweighted limit, since C weighting takes nothing from a peak but by its phases.
std::optional<Peak> peak_of(const SoundLevels& sound, LevelDifference uncertainty,
                            PeakLimit::Weighting weighting) {
    const auto C = sound.LCpeak ? std::optional(sound.LCpeak->dB()) : std::nullopt;
    const auto Z = sound.LZpeak ? std::optional(sound.LZpeak->dB()) : std::nullopt;
    if (weighting == PeakLimit::Weighting::None && Z) {
        return Peak{C ? std::max(*C, *Z) : *Z, false, uncertainty};
    }
    if (!C) return std::nullopt;
    return Peak{*C, weighting == PeakLimit::Weighting::None, uncertainty};
}

struct Peaks {
    std::vector<Peak> known = {};
    std::set<std::string> unknown = {};  // ids of sequences, names of tasks

    [[nodiscard]] bool has_any() const { return !known.empty(); }
    [[nodiscard]] const Peak& highest() const {
        return *std::ranges::max_element(known, {}, &Peak::dB);
    }
};

std::string name_of(const Plan& plan, const Person& person, const HeardRow& row) {
    if (row.sequence) return plan.sequences[*row.sequence].id;
    const std::string& title = person.tasks[*row.task].title;
    return title.empty() ? "other noise" : title;
}

Peaks peaks_of(const Plan& plan, const Person& person, const HearingDay& day,
               PeakLimit::Weighting weighting) {
    Peaks peaks;
    std::set<const SoundLevels*> seen;
    for (const HeardRow& row : day.rows) {
        if (!row.sound || !seen.insert(row.sound.get()).second) continue;
        const auto peak = peak_of(*row.sound, uncertainty_of_sound(plan, person, row), weighting);
        if (peak) peaks.known.push_back(*peak);
        // A background that states no peak is no reason to doubt.
        const bool matters = row.sequence || (row.task && person.tasks[*row.task].levels);
        if (!peak && matters) peaks.unknown.insert(name_of(plan, person, row));
    }
    return peaks;
}

// An unweighted peak lies above the C-weighted one by what the weighting takes off: no more than
// this between 31.5 Hz and 8 kHz (IEC 61672-1, table 3).
constexpr LevelDifference most_taken_by_C{3.0};

Verdict peak_verdict(const Peaks& peaks, double limit_dB, std::optional<double> probability,
                     double accepted) {
    if (peaks.highest().dB - limit_dB > level_slack.dB()) return Verdict::Over;
    if (!peaks.unknown.empty()) return Verdict::Unknown;
    const bool may_be_over = std::ranges::any_of(peaks.known, [limit_dB](const Peak& peak) {
        return peak.c_for_unweighted && peak.dB > limit_dB - most_taken_by_C.dB();
    });
    return may_be_over ? Verdict::Unknown : verdict_by(false, probability, accepted);
}

std::string peak_remark(const Criterion& criterion, const Peaks& peaks) {
    std::string text = "compares the peak outside the protector";
    if (criterion.with_protection) {
        text += ", since no published method says what is left of a peak under one";
    }
    if (std::ranges::any_of(peaks.known, &Peak::c_for_unweighted)) {
        text +=
            "; LCpeak stands for the unweighted peak, which is not stated and may be up to 3 dB "
            "higher, more where the sound lies below 31.5 Hz or above 8 kHz";
    }
    if (!peaks.unknown.empty()) {
        text += fmt::format("; no peak is stated for \"{}\"", fmt::join(peaks.unknown, "\", \""));
    }
    return text;
}

PossiblePeak possible(const Peak& peak) {
    // Where the C-weighted peak stands in, the unweighted one may be this much higher.
    return {peak.dB + (peak.c_for_unweighted ? most_taken_by_C.dB() : 0.0), peak.uncertainty};
}

// The largest of all: errors are shared, so that the one most likely over decides.
double peak_probability(const Peaks& peaks, double limit_dB) {
    double largest = 0.0;
    for (const Peak& peak : peaks.known)
        largest = std::max(largest, possible(peak).probability_over(limit_dB));
    return largest;
}

}  // namespace

double PossiblePeak::probability_over(double limit_dB) const {
    const double above = dB - limit_dB;
    if (uncertainty.dB() == 0.0) return above > level_slack.dB() ? 1.0 : 0.0;
    return normal_probability(above / uncertainty.dB());
}

std::optional<PossiblePeak> possible_peak(const Criterion& criterion, const Plan& plan,
                                          const Person& person, const HeardRow& row) {
    if (!row.sound || !criterion.peak) return std::nullopt;
    const auto peak =
        peak_of(*row.sound, uncertainty_of_sound(plan, person, row), criterion.peak->weighting);
    return peak ? std::optional(possible(*peak)) : std::nullopt;
}

std::optional<CriterionResult> judge_peak(const Criterion& criterion, const Plan& plan,
                                          const Person& person, const HearingDay& day,
                                          std::vector<Warning>& warnings) {
    if (!criterion.peak) return std::nullopt;
    const Peaks peaks = peaks_of(plan, person, day, criterion.peak->weighting);
    if (!peaks.unknown.empty()) {
        warnings.push_back(warning_for(
            person, "peak-unknown",
            fmt::format("the peak limit of {} cannot be judged, since no peak is stated for "
                        "\"{}\"; enter LCpeak or LZpeak",
                        criterion.id, fmt::join(peaks.unknown, "\", \""))));
    }
    if (!peaks.has_any()) return std::nullopt;
    const double limit_dB = level_of<quantity::CWeightedPeak>(criterion.peak->pressure).dB();
    const auto probability = peak_probability(peaks, limit_dB);
    return CriterionResult{
        .criterion = &criterion,
        .quantity = "peak",
        .unit = "dB",
        .value = peaks.highest().dB,
        .limit = limit_dB,
        .at_ear = false,
        .margin = LevelDifference(limit_dB - peaks.highest().dB),
        .probability_over = probability,
        .verdict = peak_verdict(peaks, limit_dB, probability, person.policy.accepted_probability),
        .remark = peak_remark(criterion, peaks)};
}

std::optional<Verdict> worst_peak_verdict(const Plan& plan, const Person& person,
                                          const HearingDay& day) {
    std::optional<Verdict> worst;
    std::vector<Warning> said_by_assess;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!decides(criterion, person)) continue;
        const auto result = judge_peak(criterion, plan, person, day, said_by_assess);
        if (result) worst = std::max(worst, std::optional(result->verdict));
    }
    return worst;
}

}  // namespace earbudget
