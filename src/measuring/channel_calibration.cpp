#include "measuring/channel_calibration.hpp"

#include <cmath>

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

}  // namespace earbudget
