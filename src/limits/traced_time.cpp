#include <algorithm>
#include <set>
#include <utility>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/uncertainty/first_order.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

std::string_view worst_peak_of(const PersonResult& result) {
    Verdict worst = Verdict::Within;
    for (const CriterionResult& criterion : result.criteria) {
        if (criterion.is_peak) worst = std::max(worst, criterion.verdict);
    }
    return name_of(worst);
}

}  // namespace

void leave_repeats(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                   const std::vector<LongestTime>& longest, Trace& trace) {
    const Person& person = *result.person;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const SegmentResult& segment = result.segments[i];
        if (!segment.repeats_left_best_estimate) continue;
        const ExposureRow& row = day.rows[i];
        const Trace::About about(trace, topics_of(plan, row));
        trace.leave(longest[i].step(say<StepPhrase::LongestTime>(words_of(plan, person, row)), {}));
        const Message more = say<StepPhrase::MoreRuns>(words_of(plan, person, row));
        trace.leave(StepOf(say<StepPhrase::ByBestEstimate>(more),
                           {key_of("segments", i, "repeats_left_best_estimate")},
                           formula_of_repeats_left)
                        .value("longest_s", longest[i].best_estimate)
                        .value("now_s", row.time)
                        .value("run_s", row.run())
                        .value("peak", worst_peak_of(result))
                        .is(*segment.repeats_left_best_estimate, "runs"));
        if (segment.repeats_left)
            trace.leave(confident_step(plan, person, more, {key_of("segments", i, "repeats_left")},
                                       static_cast<double>(*segment.repeats_left), "runs",
                                       formula_of_confident_repeats));
    }
}

namespace {

/// The octave bands that people differ in.
void add_bands(const SoundLevels& sound, const PeopleSpread& spread, StepOf& mean) {
    if (spread.by_pink_noise()) mean.value("sound", say<StepPhrase::PinkNoise>());
    const bool weighted = spread.by_pink_noise() || sound.octave_A.empty();
    mean.columns({"Hz", "Lf_dB", "Af_dB", "LA_dB", "mean_dB", "sd_dB", "APV_dB", "left_dB",
                  "left_at_mean_dB"});
    mean.worked(weighted ? std::vector<std::string>{"LA_dB", "APV_dB", "left_dB", "left_at_mean_dB"}
                         : std::vector<std::string>{"APV_dB", "left_dB", "left_at_mean_dB"});
    for (const PeopleSpread::Band& band : spread.bands()) {
        const bool measured = !spread.by_pink_noise() && sound.octave_A.has(band.band);
        const auto Af = measured ? std::nullopt : std::optional(a_weighting(band.band));
        const auto Lf = Af ? std::optional(band.level.dB() - Af->dB()) : std::optional<double>();
        const LevelDifference APV = band.mean + spread.assumed_z() * band.deviation;
        mean.row(name_of(band.band), Lf, Af, band.level, band.mean, band.deviation, APV,
                 band.level - APV, band.level - band.mean);
    }
}

/// The unclamped reduction by the method, then that at the mean and its slope.
void leave_mean_reduction(const ExposureRow& row, const SegmentProtection& protection,
                          const Message& name, Trace& trace) {
    const PeopleSpread* spread = protection.spread;
    const bool by_bands = spread && !spread->bands().empty();
    StepOf mean(say<StepPhrase::ReductionAtMean>(name), {},
                by_bands ? formula_of_R_at_the_mean
                : spread ? formula_of_R_of_a_label
                         : formula_of_R_without_spread);
    mean.value("R_dB", protection.reduction)
        .value("fit", protection.poor_fit ? "poor" : "as-rated");
    if (spread) mean.value("z0", spread->assumed_z());
    if (spread && !by_bands) mean.value("sd_dB", spread->slope(0.0));
    if (by_bands) add_bands(*row.sound, *spread, mean);
    trace.leave(mean.is(mean_reduction(protection), "dB"));
    if (!spread) return;
    StepOf slope(say<StepPhrase::Slope>(name), {}, formula_of_slope);
    if (!by_bands) slope.value("sd_dB", spread->slope(0.0));
    if (by_bands) {
        slope.columns({"Hz", "LA_dB", "mean_dB", "sd_dB"});
        for (const PeopleSpread::Band& band : spread->bands())
            slope.row(name_of(band.band), band.level, band.mean, band.deviation);
    }
    trace.leave(slope.is(spread->slope(0.0), "dB"));
}

}  // namespace

void leave_mean_reductions(const Plan& plan, const Person& person, const ExposureDay& day,
                           const DayErrors& errors, const std::vector<CriterionResult>& criteria,
                           Trace& trace) {
    std::vector<std::string> ids;
    for (const CriterionResult& criterion : criteria) {
        if (criterion.first_order && criterion.at_ear) ids.push_back(criterion.criterion->id);
    }
    if (ids.empty()) return;
    const Trace::About about(trace, ids);
    std::set<std::pair<const Prediction*, bool>> seen;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const ExposureRow& row = day.rows[i];
        const auto place = errors.segment_of(i, 0);
        if (!place || !row.prediction) continue;
        const auto& protection = errors.segments[*place].protection;
        if (!protection || !seen.insert({row.prediction.get(), protection->poor_fit}).second)
            continue;
        const Trace::About sequence(trace, topics_of(plan, row));
        leave_mean_reduction(row, *protection, words_of(plan, person, row), trace);
    }
}

}  // namespace earbudget
