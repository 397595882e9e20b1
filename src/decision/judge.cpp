#include "earbudget/decision/judge.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

namespace {

// A peak stated equal to the limit is not above it, whatever the logarithm rounds to.
constexpr double arithmetic_slack_dB = 1e-9;

Verdict verdict_of(bool over, std::optional<double> probability) {
    if (over) return Verdict::Over;
    if (probability && *probability > accepted_probability_over) return Verdict::Close;
    return Verdict::Within;
}

struct Peaks {
    std::optional<double> highest_dB = std::nullopt;
    bool c_stands_for_unweighted = false;
    std::set<std::string> unknown = {};  // ids of sequences
};

Peaks peaks_of(const Plan& plan, const HearingDay& day, PeakLimit::Weighting weighting) {
    Peaks peaks;
    for (const HeardRow& row : day.rows) {
        if (!row.sequence) continue;
        const SoundLevels& sound = *row.sound;
        std::optional<double> peak;
        if (weighting == PeakLimit::Weighting::None && sound.LZpeak) {
            peak = sound.LZpeak->dB();
        } else if (sound.LCpeak) {
            peak = sound.LCpeak->dB();
            if (weighting == PeakLimit::Weighting::None) peaks.c_stands_for_unweighted = true;
        }
        if (!peak) {
            peaks.unknown.insert(plan.sequences[*row.sequence].id);
        } else if (!peaks.highest_dB || *peak > *peaks.highest_dB) {
            peaks.highest_dB = peak;
        }
    }
    return peaks;
}

bool judges(const Criterion& criterion, const Person& person) {
    return criterion.is_for(person.role);
}

}  // namespace

std::vector<ExposurePart> parts_for(const Criterion& criterion, const HearingDay& day) {
    if (!criterion.with_protection) return day.outside();
    return criterion.quantity == ExposureQuantity::Dose ? day.at_ear_by_wearing() : day.at_ear();
}

CriterionResult judge_exposure(const Criterion& criterion, const HearingDay& day) {
    const auto parts = parts_for(criterion, day);
    const auto probability = probability_over(criterion, parts);
    return {.criterion = &criterion,
            .quantity = std::string(name_of(criterion.quantity)),
            .unit = criterion.quantity == ExposureQuantity::Dose ? "percent" : "dB",
            .value = value_of(criterion, parts),
            .limit = criterion.limit(),
            .at_ear = criterion.with_protection,
            .margin = margin_of(criterion, parts),
            .probability_over = probability,
            .verdict = verdict_of(is_over(criterion, parts), probability),
            .remark = criterion.remark};
}

std::optional<CriterionResult> judge_peak(const Criterion& criterion, const Plan& plan,
                                          const Person& person, const HearingDay& day,
                                          std::vector<Warning>& warnings) {
    if (!criterion.peak) return std::nullopt;
    const PeakLimit& limit = *criterion.peak;
    const Peaks peaks = peaks_of(plan, day, limit.weighting);
    const double limit_dB = level_of<quantity::CWeightedPeak>(limit.pressure).dB();
    const bool over = peaks.highest_dB && *peaks.highest_dB - limit_dB > arithmetic_slack_dB;
    if (!peaks.unknown.empty()) {
        warnings.push_back(
            {"peak-unknown",
             fmt::format("{}: the peak limit of {} {}, since no peak is stated for "
                         "\"{}\"; enter LCpeak",
                         person.id, criterion.id,
                         over ? "is judged by the other sequences" : "cannot be judged",
                         fmt::join(peaks.unknown, "\", \"")),
             person.stated_at});
        if (!over) return std::nullopt;
    }
    if (!peaks.highest_dB) return std::nullopt;
    return CriterionResult{
        .criterion = &criterion,
        .quantity = "peak",
        .unit = "dB",
        .value = peaks.highest_dB,
        .limit = limit_dB,
        .at_ear = false,
        .margin = LevelDifference(limit_dB - *peaks.highest_dB),
        .verdict = over ? Verdict::Over : Verdict::Within,
        .remark = fmt::format("compares the peak outside the protector{}",
                              peaks.c_stands_for_unweighted
                                  ? "; LCpeak stands for the unweighted peak, which is not stated"
                                  : "")};
}

bool is_over_any(const Person& person, const HearingDay& day) {
    const auto& criteria = person.policy.criteria;
    return std::any_of(criteria.begin(), criteria.end(), [&](const Criterion& criterion) {
        return judges(criterion, person) && is_over(criterion, parts_for(criterion, day));
    });
}

bool is_over_any_when_raised(const Person& person, const HearingDay& day, double deviations) {
    const auto& criteria = person.policy.criteria;
    return std::any_of(criteria.begin(), criteria.end(), [&](const Criterion& criterion) {
        return judges(criterion, person) &&
               is_over_when_raised(criterion, parts_for(criterion, day), deviations);
    });
}

}  // namespace earbudget
