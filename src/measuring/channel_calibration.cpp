#include "measuring/channel_calibration.hpp"

#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"

namespace earbudget {

namespace {

// Sound calibrators produce 94, 104, 114 or 124 dB (common practice, no source; 94 and 114 dB as in
// IEC 60942, memory).
constexpr LevelZ lowest_usual{90.0};
constexpr LevelZ highest_usual{130.0};

bool is_unusual(LevelZ produced) { return produced < lowest_usual || produced > highest_usual; }

/// Without a calibration there are no levels, and this is why.
void drop(ChannelCalibration& result, const Finding& why) {
    result.findings.push_back(why);
    result.calibration.reset();
    result.why_none = why;
}

void take_drift(ChannelCalibration& result, const RecordedCalibrator& source, std::size_t index) {
    if (source.after.empty()) return;
    const auto& after = for_channel(source.after, index);
    if (const auto* reason = std::get_if<Finding>(&after)) {
        drop(result, {reason->code, say<FindingPhrase::AfterMeasurement>(reason->says)});
        return;
    }
    const auto& tone = std::get<CalibratorTone>(after);
    if (std::abs(tone.frequency / result.tone->frequency - 1.0) >
        CalibratorToneLimits::frequency_deviation) {
        drop(result,
             {QualityCode::CalibrationNotATone,
              say<FindingPhrase::OtherTone>(result.tone->frequency.Hz(), tone.frequency.Hz())});
        return;
    }
    result.drift = drift_between(*result.tone, tone);
    if (is_accepted_drift(*result.drift)) return;
    const double drift = result.drift->dB();
    const Finding finding{QualityCode::Drift,
                          say<FindingPhrase::Drift>(std::abs(drift), drift > 0.0, greatest_drift,
                                                    source.accept_drift)};
    if (source.accept_drift) {
        result.findings.push_back(finding);
    } else {
        drop(result, finding);
    }
}

/// What must be known of the recording of a tone; the calibration by one that is not whole is
/// dropped, which then is the reason whatever else is wrong with the tone.
void take_state(ChannelCalibration& result, const std::vector<ToneRecording>& recordings,
                std::size_t index, bool accept_length) {
    if (recordings.empty()) return;
    const ToneRecording& recording = for_channel(recordings, index);
    const bool whole = is_whole(recording.state, accept_length);
    for (const Finding& on_state : findings_on(recording.state, accept_length)) {
        const Finding finding{on_state.code,
                              say<FindingPhrase::InCalibration>(recording.name, on_state.says)};
        if (!whole && finding.code == QualityCode::DataBeyondTheHeader) {
            drop(result, finding);
        } else {
            result.findings.push_back(finding);
        }
    }
    // The tone before is what levels hang on; one after it is that of the drift.
    result.state = both(result.state, recording.state);
}

ChannelCalibration calibration_by_tone(const RecordedCalibrator& calibrator, std::size_t index) {
    const auto& before = for_channel(calibrator.channels, index);
    if (const auto* reason = std::get_if<Finding>(&before))
        return {.findings = {*reason}, .why_none = *reason};
    const auto& tone = std::get<CalibratorTone>(before);
    ChannelCalibration result{
        .calibration = Calibration::from_tone(tone.level, calibrator.produced),
        .tone = tone,
        .produced = calibrator.produced};
    if (is_unusual(calibrator.produced)) {
        result.findings.push_back({QualityCode::UnusualCalibrator,
                                   say<FindingPhrase::UnusualCalibrator>(calibrator.produced)});
    }
    take_drift(result, calibrator, index);
    return result;
}

}  // namespace

ChannelCalibration calibration_of(const CalibrationSource& source, std::size_t index,
                                  bool accept_length) {
    if (const auto* stated = std::get_if<StatedCalibration>(&source)) {
        return {.calibration = for_channel(stated->channels, index), .how = stated->how};
    }
    const auto& calibrator = std::get<RecordedCalibrator>(source);
    ChannelCalibration result = calibration_by_tone(calibrator, index);
    take_state(result, calibrator.recordings, index, accept_length);
    take_state(result, calibrator.recordings_after, index, accept_length);
    return result;
}

bool calibrates(const CalibrationSource& source, std::size_t channels) {
    const auto serves = [&](std::size_t count) { return count == 1 || count == channels; };
    if (const auto* stated = std::get_if<StatedCalibration>(&source)) {
        return serves(stated->channels.size());
    }
    const auto& calibrator = std::get<RecordedCalibrator>(source);
    return serves(calibrator.channels.size()) &&
           (calibrator.after.empty() || serves(calibrator.after.size()));
}

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
