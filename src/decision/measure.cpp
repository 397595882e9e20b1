#include "earbudget/decision/measure.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include <fmt/format.h>

#include "earbudget/measurement/excerpt.hpp"
#include "earbudget/measurement/full_scale.hpp"
#include "earbudget/measurement/read_channels.hpp"
#include "earbudget/measurement/steadiness.hpp"

namespace earbudget {

namespace {

/// The one that serves a channel: its own, or the one for all.
template <class T>
const T& for_channel(const std::vector<T>& all, std::size_t index) {
    return all[all.size() == 1 ? 0 : index];
}

/// How a channel's levels become levels in air, or why they cannot.
struct ChannelCalibration {
    std::optional<Calibration> calibration = std::nullopt;
    std::optional<CalibratorTone> tone = std::nullopt;
    std::optional<LevelDifference> drift = std::nullopt;
    std::vector<Finding> findings = {};
};

Finding after_the_measurement(const Finding& finding) {
    return {finding.code, "After the measurement: " + finding.text};
}

Finding other_tone(const CalibratorTone& before, const CalibratorTone& after) {
    return {QualityCode::CalibrationNotATone,
            fmt::format("The calibrator's tone was {:.0f} Hz before the measurement and {:.0f} Hz "
                        "after it: no drift can be told. Record the same tone again.",
                        before.frequency.Hz(), after.frequency.Hz())};
}

Finding drifted(LevelDifference drift, bool accepted) {
    const std::string what = fmt::format(
        "The calibrator was recorded {:.2f} dB {} after the measurement than before; "
        "at most {:.1f} dB are accepted",
        std::abs(drift.dB()), drift.dB() > 0.0 ? "higher" : "lower", greatest_drift.dB());
    return {QualityCode::Drift,
            what + (accepted ? ". Accepted by request: the levels are those of the calibration "
                               "before, and the drift counts in their uncertainty."
                             : ", so that there are no levels. Measure again, or accept the drift "
                               "with --accept-drift.")};
}

void take_drift(ChannelCalibration& result, const RecordedCalibrator& source, std::size_t index) {
    if (source.after.empty()) return;
    const auto& after = for_channel(source.after, index);
    if (const auto* reason = std::get_if<Finding>(&after)) {
        result.findings.push_back(after_the_measurement(*reason));
        result.calibration.reset();
        return;
    }
    const auto& tone = std::get<CalibratorTone>(after);
    if (std::abs(tone.frequency / result.tone->frequency - 1.0) >
        CalibratorToneLimits::frequency_deviation) {
        result.findings.push_back(other_tone(*result.tone, tone));
        result.calibration.reset();
        return;
    }
    result.drift = drift_between(*result.tone, tone);
    if (is_accepted_drift(*result.drift)) return;
    result.findings.push_back(drifted(*result.drift, source.accept_drift));
    if (!source.accept_drift) result.calibration.reset();
}

ChannelCalibration calibration_of(const CalibrationSource& source, std::size_t index) {
    if (const auto* stated = std::get_if<StatedCalibration>(&source)) {
        return {.calibration = for_channel(stated->channels, index)};
    }
    const auto& calibrator = std::get<RecordedCalibrator>(source);
    const auto& before = for_channel(calibrator.channels, index);
    if (const auto* reason = std::get_if<Finding>(&before)) return {.findings = {*reason}};
    const auto& tone = std::get<CalibratorTone>(before);
    ChannelCalibration result{
        .calibration = Calibration::from_tone(tone.level, calibrator.produced), .tone = tone};
    take_drift(result, calibrator, index);
    return result;
}

Finding no_rhythm() {
    return {QualityCode::NoPumpRhythm,
            "No rhythm of a pump is heard in the background recording: it was averaged as a whole. "
            "Make sure that it was recorded at the same place, with the magnet's pump running and "
            "nothing else."};
}

/// What is wrong with the background is wrong with what it is taken off.
void pass_on(std::vector<Finding> of_background, std::vector<Finding>& findings) {
    for (Finding& finding : of_background)
        findings.push_back({finding.code, "In the background recording: " + finding.text});
}

MeasuredBackground take_background(ChannelLevels& levels, const RecordedBackground& background,
                                   std::size_t index, const Calibration& calibration) {
    const ChannelReading& reading = for_channel(background.channels, index);
    const ChannelLevels measured = calibrated(reading, calibration);
    MeasuredBackground result{.LAeq = measured.LAeq,
                              .rhythm = for_channel(background.rhythms, index),
                              .averaged = reading.duration,
                              .effect = subtract_background(levels, measured)};
    if (!result.rhythm) levels.findings.push_back(no_rhythm());
    pass_on(findings_of(reading), levels.findings);
    pass_on(findings_on_course(reading), levels.findings);
    if (const auto steadiness = steadiness_of(reading.time.history)) {
        result.steadiness = steadiness->standard_uncertainty;
    }
    return result;
}

void take_tones(MeasuredChannel& channel, const ChannelReading& reading) {
    for (const Tone& tone : reading.tones.tones) {
        channel.tones.push_back({tone.frequency,
                                 channel.calibration->level<quantity::Unweighted>(tone.level),
                                 tone.above_noise, tone.harmonic});
    }
    channel.fundamental = reading.tones.fundamental;
}

void take_runs(MeasuredChannel& channel, const ChannelReading& reading) {
    for (const SequenceRun& run : find_sequence_runs(reading.time.history)) {
        const auto level = level_of_mean_square(run.mean_square);
        MeasuredRun measured{run, std::nullopt};
        if (level) measured.LAeq = channel.calibration->level<quantity::AWeighted>(*level);
        channel.runs.push_back(measured);
    }
}

ProposedUncertainty uncertainty_of(const MeasuredChannel& channel, const ChannelReading& reading,
                                   InstrumentClass instrument) {
    UncertaintyFacts facts{.instrument = instrument, .drift = channel.drift};
    if (const auto steadiness = steadiness_of(reading.time.history)) {
        facts.steadiness = steadiness->standard_uncertainty;
    }
    if (channel.background) {
        facts.above_background = channel.background->effect.distance;
        facts.background_steadiness = channel.background->steadiness;
    }
    return propose_uncertainty(facts);
}

std::string how_stated(const CalibrationSource& source) {
    const auto* stated = std::get_if<StatedCalibration>(&source);
    return stated ? stated->how : std::string();
}

MeasuredChannel measured(const MeasureRequest& request, std::size_t index,
                         const ChannelReading& reading) {
    ChannelCalibration calibration = calibration_of(request.calibration, index);
    MeasuredChannel channel{.number = index + 1,
                            .calibration = calibration.calibration,
                            .calibrated_how = how_stated(request.calibration),
                            .tone = calibration.tone,
                            .drift = calibration.drift};
    auto& findings = channel.levels.findings;
    if (channel.calibration) {
        channel.levels = calibrated(reading, *channel.calibration);
        if (request.background) {
            channel.background =
                take_background(channel.levels, *request.background, index, *channel.calibration);
        }
        take_tones(channel, reading);
        if (request.find_runs) take_runs(channel, reading);
        if (channel.levels.LAeq && !request.find_runs) {
            channel.uncertainty = uncertainty_of(channel, reading, request.instrument);
        }
    } else {
        channel.levels.duration = reading.duration;
        findings = findings_of(reading);
    }
    // In a session of several sequences unsteadiness is what there is to see.
    if (!request.find_runs)
        std::ranges::move(findings_on_course(reading), std::back_inserter(findings));
    std::ranges::move(calibration.findings, std::back_inserter(findings));
    return channel;
}

}  // namespace

bool calibrates(const CalibrationSource& source, std::size_t channels) {
    const auto serves = [&](std::size_t count) { return count == 1 || count == channels; };
    if (const auto* stated = std::get_if<StatedCalibration>(&source)) {
        return serves(stated->channels.size());
    }
    const auto& calibrator = std::get<RecordedCalibrator>(source);
    return serves(calibrator.channels.size()) &&
           (calibrator.after.empty() || serves(calibrator.after.size()));
}

RecordedBackground read_background(const OpenRecording& open) {
    RecordedBackground background{read_channels(*open()), {}};
    Seconds whole(0.0);
    for (const ChannelReading& reading : background.channels) {
        background.rhythms.push_back(find_pump_rhythm(reading.time.history));
        if (background.rhythms.back()) {
            whole = std::max(whole, whole_strokes(*background.rhythms.back(), reading.duration));
        }
    }
    if (whole > Seconds(0.0)) {
        const auto recording = open();
        Excerpt strokes(*recording, Seconds(0.0), whole);
        background.channels = read_channels(strokes);
    }
    return background;
}

MeasuredRecording measure(SampleSource& recording, const MeasureRequest& request) {
    MeasuredRecording result{recording.sample_rate(), {}};
    auto readings = read_channels(recording);
    for (ChannelReading& reading : readings)
        reading.start = request.from;
    for (std::size_t i = 0; i < readings.size(); ++i)
        result.channels.push_back(measured(request, i, readings[i]));
    return result;
}

const MeasuredChannel* loudest_channel(const MeasuredRecording& recording) {
    const MeasuredChannel* loudest = nullptr;
    for (const MeasuredChannel& channel : recording.channels) {
        if (!channel.levels.LAeq) continue;
        if (!loudest || *channel.levels.LAeq > *loudest->levels.LAeq) loudest = &channel;
    }
    return loudest;
}

}  // namespace earbudget
