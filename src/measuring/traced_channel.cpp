#include <fmt/format.h>

#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "measuring/channel_calibration.hpp"

namespace earbudget {

namespace {

void leave_calibration(const MeasuredChannel& channel, Trace& trace) {
    if (channel.calibration) {
        StepOf step(say<StepPhrase::FullScaleSine>(), {"calibration.full_scale_level_dB"},
                    channel.tone ? formula_of_calibration : formula_of_stated_calibration);
        if (channel.tone) {
            step.value("calibrator_dB", channel.calibrator_level)
                .value("tone_dB_re_full_scale", channel.tone->level);
        } else {
            step.value("stated", channel.calibrated_how);
        }
        trace.leave(step.is(channel.calibration->full_scale_level(), "dB"));
    }
    if (channel.drift && channel.tone) {
        trace.leave(
            StepOf(say<StepPhrase::CalibrationDrift>(), {"calibration.drift_dB"}, formula_of_drift)
                .value("tone_before_dB_re_full_scale", channel.tone->level)
                .value("tone_after_dB_re_full_scale", channel.tone->level + *channel.drift)
                .is(channel.drift, "dB"));
    }
}

/// What a corrected level is called, and where it stands in JSON; a band's follows or is put in.
struct LevelNames {
    CorrectedLevel::Kind key;
    std::string_view name;  ///< words, behind a band's frequency
    std::string_view in_json;
};

constexpr auto level_names = rows_of<LevelNames>({
    {CorrectedLevel::Kind::LAeq, "LAeq", "LAeq_dB"},
    {CorrectedLevel::Kind::LCeq, "LCeq", "LCeq_dB"},
    {CorrectedLevel::Kind::LZeq, "LZeq", "LZeq_dB"},
    {CorrectedLevel::Kind::Octave, " Hz", "octave_dB."},
    {CorrectedLevel::Kind::OctaveA, " Hz, A-weighted", "octave_A_dB."},
    {CorrectedLevel::Kind::ThirdOctave, " Hz, one-third octave", "third_octave_dB."},
});

void leave_background(const MeasuredChannel& channel, Trace& trace) {
    if (!channel.background) return;
    for (const BackgroundCorrection& one : channel.background->effect.corrections) {
        const double distance = one.measured_dB - one.background_dB;
        // From no_correction on there is nothing to work out.
        if (distance >= BackgroundLimits::no_correction.dB()) continue;
        const LevelNames& names = level_names[one.level.kind];
        trace.leave(StepOf(say<StepPhrase::WithoutBackground>(one.level.band, names.name),
                           {fmt::format("{}{}", names.in_json, one.level.band)},
                           formula_of_background)
                        .value("L1_dB", one.measured_dB)
                        .value("L2_dB", one.background_dB)
                        .value("L1_minus_L2_dB", distance)
                        .is(one.result_dB, "dB"));
    }
}

void leave_uncertainty(const MeasuredChannel& channel, Trace& trace) {
    if (!channel.uncertainty) return;
    StepOf step(say<StepPhrase::LAeqUncertainty>(), {"uncertainty.standard_dB"},
                formula_of_combined_uncertainty);
    if (channel.background) step.value("L1_minus_L2_dB", channel.background->effect.distance);
    step.columns({"part", "u_dB", "c", "source"});
    for (const UncertaintyPart& part : channel.uncertainty->parts) {
        step.row(part.name, LevelDifference(part.standard.dB() / part.sensitivity),
                 part.sensitivity, part.source);
    }
    trace.leave(step.is(channel.uncertainty->combined(), "dB"));
}

}  // namespace

Working working_of(const MeasuredChannel& channel) {
    Trace trace;
    leave_calibration(channel, trace);
    if (!channel.calibration || !channel.levels.LAeq) return trace.take();
    leave_background(channel, trace);
    if (channel.levels.LAE) {
        trace.leave(StepOf(say<StepPhrase::SoundExposureLevel>(), {"LAE_dB"}, formula_of_LAE)
                        .value("LAeq_dB", channel.levels.LAeq)
                        .value("T_s", channel.levels.duration)
                        .is(channel.levels.LAE, "dB(A)"));
    }
    leave_uncertainty(channel, trace);
    return trace.take();
}

}  // namespace earbudget
