#include <algorithm>
#include <set>
#include <string>

#include <fmt/format.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/decision/judge.hpp"

namespace earbudget {

namespace {

// A peak stated equal to the limit is not above it, whatever the logarithm rounds to.
constexpr double arithmetic_slack_dB = 1e-9;

struct Peak {
    double dB;
    bool c_for_unweighted;  // LCpeak where the limit is on the unweighted peak
    std::optional<LevelDifference> uncertainty;
};

// The peak of one sound that a limit looks at. Where both are stated the higher one counts for an
// unweighted limit, since C weighting takes nothing from a peak but by its phases.
std::optional<Peak> peak_of(const SoundLevels& sound, PeakLimit::Weighting weighting) {
    const auto C = sound.LCpeak ? std::optional(sound.LCpeak->dB()) : std::nullopt;
    const auto Z = sound.LZpeak ? std::optional(sound.LZpeak->dB()) : std::nullopt;
    if (weighting == PeakLimit::Weighting::None && Z) {
        return Peak{C ? std::max(*C, *Z) : *Z, false, sound.uncertainty};
    }
    if (!C) return std::nullopt;
    return Peak{*C, weighting == PeakLimit::Weighting::None, sound.uncertainty};
}

struct Peaks {
    std::optional<Peak> highest = std::nullopt;
    std::set<std::string> unknown = {};  // ids of sequences
};

Peaks peaks_of(const Plan& plan, const HearingDay& day, PeakLimit::Weighting weighting) {
    Peaks peaks;
    for (const HeardRow& row : day.rows) {
        if (!row.sound) continue;
        const auto peak = peak_of(*row.sound, weighting);
        if (peak && (!peaks.highest || peak->dB > peaks.highest->dB)) peaks.highest = peak;
        if (!peak && row.sequence) peaks.unknown.insert(plan.sequences[*row.sequence].id);
    }
    return peaks;
}

// An unweighted peak lies above the C-weighted one by what the weighting takes off: no more than
// this between 31.5 Hz and 8 kHz (IEC 61672-1, table 3).
constexpr LevelDifference most_taken_by_C{3.0};

Verdict peak_verdict(const Peaks& peaks, double limit_dB, std::optional<double> probability) {
    const Peak& highest = *peaks.highest;
    if (highest.dB - limit_dB > arithmetic_slack_dB) return Verdict::Over;
    if (!peaks.unknown.empty()) return Verdict::Unknown;
    if (highest.c_for_unweighted && highest.dB > limit_dB - most_taken_by_C.dB()) {
        return Verdict::Unknown;
    }
    return verdict_by(false, probability);
}

std::string peak_remark(const Criterion& criterion, const Peaks& peaks) {
    std::string text = "compares the peak outside the protector";
    if (criterion.with_protection) {
        text += ", since no published method says what is left of a peak under one";
    }
    if (peaks.highest->c_for_unweighted) {
        text +=
            "; LCpeak stands for the unweighted peak, which is not stated and may be up to 3 dB "
            "higher";
    }
    if (!peaks.unknown.empty()) {
        text += fmt::format("; no peak is stated for \"{}\"", fmt::join(peaks.unknown, "\", \""));
    }
    return text;
}

std::optional<double> peak_probability(const Peak& peak, double limit_dB) {
    if (!peak.uncertainty) return std::nullopt;
    const double above = peak.dB - limit_dB;
    if (peak.uncertainty->dB() == 0.0) return above > 0.0 ? 1.0 : 0.0;
    return normal_probability(above / peak.uncertainty->dB());
}

}  // namespace

std::optional<CriterionResult> judge_peak(const Criterion& criterion, const Plan& plan,
                                          const Person& person, const HearingDay& day,
                                          std::vector<Warning>& warnings) {
    if (!criterion.peak) return std::nullopt;
    const Peaks peaks = peaks_of(plan, day, criterion.peak->weighting);
    if (!peaks.unknown.empty()) {
        warnings.push_back(
            {"peak-unknown",
             fmt::format("{}: the peak limit of {} cannot be judged, since no peak "
                         "is stated for \"{}\"; enter LCpeak or LZpeak",
                         person.id, criterion.id, fmt::join(peaks.unknown, "\", \"")),
             person.stated_at});
    }
    if (!peaks.highest) return std::nullopt;
    const double limit_dB = level_of<quantity::CWeightedPeak>(criterion.peak->pressure).dB();
    const auto probability = peak_probability(*peaks.highest, limit_dB);
    return CriterionResult{.criterion = &criterion,
                           .quantity = "peak",
                           .unit = "dB",
                           .value = peaks.highest->dB,
                           .limit = limit_dB,
                           .at_ear = false,
                           .margin = LevelDifference(limit_dB - peaks.highest->dB),
                           .probability_over = probability,
                           .verdict = peak_verdict(peaks, limit_dB, probability),
                           .remark = peak_remark(criterion, peaks)};
}

std::optional<Verdict> worst_peak_verdict(const Plan& plan, const Person& person,
                                          const HearingDay& day) {
    std::optional<Verdict> worst;
    std::vector<Warning> said_by_assess;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.is_for(person.role)) continue;
        const auto result = judge_peak(criterion, plan, person, day, said_by_assess);
        if (result) worst = std::max(worst, std::optional(result->verdict));
    }
    return worst;
}

}  // namespace earbudget
