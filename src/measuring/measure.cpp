#include "earbudget/measuring/measure.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "earbudget/measurement/meters/channel_reading.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "measuring/channel_calibration.hpp"

namespace earbudget {

namespace {

Finding no_rhythm() { return {QualityCode::NoPumpRhythm, say<FindingPhrase::NoPumpRhythm>()}; }

/// What is wrong with the background is wrong with what it is taken off.
void pass_on(std::vector<Finding> of_background, std::vector<Finding>& findings) {
    for (Finding& finding : of_background)
        findings.push_back({finding.code, say<FindingPhrase::InBackground>(finding.says)});
}

/// Of the recording and of its background.
std::vector<Finding> findings_on_sources(const SourceState& state, const MeasureRequest& request) {
    auto findings = findings_on(state, request.accept_length);
    if (request.background)
        pass_on(findings_on(request.background->state, request.accept_length), findings);
    return findings;
}

bool are_whole(const MeasuredSources& sources, const MeasureRequest& request) {
    return is_whole(sources.recording, request.accept_length) &&
           is_whole(sources.background, request.accept_length);
}

std::optional<Finding> first_with(QualityCode code, const std::vector<Finding>& findings) {
    const auto found = std::ranges::find(findings, code, &Finding::code);
    return found == findings.end() ? std::nullopt : std::optional(*found);
}

/// Of a calibrated channel: too loud to be true, or nothing that could be heard, which is said
/// last.
std::optional<Finding> why_no_level_in(ChannelLevels& levels) {
    if (levels.LAeq) return std::nullopt;
    auto findings = levels.findings;
    if (auto too_loud = first_with(QualityCode::LevelOutOfRange, findings)) return too_loud;
    std::ranges::reverse(findings);
    if (auto too_faint = first_with(QualityCode::NearNoiseFloor, findings)) return too_faint;
    levels.findings.push_back(
        {QualityCode::NearNoiseFloor, say<FindingPhrase::NothingAWeighted>()});
    return levels.findings.back();
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
    if (reading.steadiness) result.steadiness = reading.steadiness->standard_uncertainty;
    return result;
}

void take_tones(MeasuredChannel& channel, const ChannelReading& reading) {
    for (const Tone& tone : reading.tones.tones) {
        const LevelZ level = channel.calibration->level<quantity::Unweighted>(tone.level);
        if (!is_plausible_level(level.dB())) continue;
        channel.tones.push_back({tone.frequency, level, tone.above_noise, tone.harmonic});
    }
    channel.fundamental = reading.tones.fundamental;
}

void take_runs(MeasuredChannel& channel, const ChannelReading& reading) {
    for (const SequenceRun& run : find_sequence_runs(reading.time.history)) {
        const auto level = level_of_mean_square(run.mean_square);
        MeasuredRun measured{run, std::nullopt};
        if (level) {
            const LevelA in_air = channel.calibration->level<quantity::AWeighted>(*level);
            if (is_plausible_level(in_air.dB())) measured.LAeq = in_air;
        }
        channel.runs.push_back(measured);
    }
}

ProposedUncertainty uncertainty_of(const MeasuredChannel& channel, const ChannelReading& reading,
                                   InstrumentClass instrument) {
    const MeasuredSources& sources = channel.sources;
    UncertaintyFacts facts{.instrument = instrument,
                           .drift = channel.drift,
                           .loss = sources.recording.loss,
                           .background_loss = sources.background.loss,
                           .calibration_loss = sources.calibrator.loss};
    if (reading.steadiness) facts.steadiness = reading.steadiness->standard_uncertainty;
    if (channel.background) {
        facts.above_background = channel.background->effect.distance;
        facts.background_steadiness = channel.background->steadiness;
    }
    return propose_uncertainty(facts);
}

void take_levels(MeasuredChannel& channel, const MeasureRequest& request, std::size_t index,
                 const ChannelReading& reading) {
    channel.levels = calibrated(reading, *channel.calibration);
    channel.why_no_level = why_no_level_in(channel.levels);
    if (request.background) {
        channel.background =
            take_background(channel.levels, *request.background, index, *channel.calibration);
    }
    take_tones(channel, reading);
    if (request.find_runs) take_runs(channel, reading);
}

MeasuredChannel measured(const MeasureRequest& request, std::size_t index,
                         const ChannelReading& reading, const SourceState& state) {
    ChannelCalibration calibration =
        calibration_of(request.calibration, index, request.accept_length);
    const MeasuredSources sources{
        .recording = state,
        .background = request.background ? request.background->state : SourceState{},
        .calibrator = calibration.state};
    const auto on_sources = findings_on_sources(state, request);
    if (!are_whole(sources, request)) {
        calibration.calibration.reset();
        calibration.why_none = first_with(QualityCode::DataBeyondTheHeader, on_sources);
    }
    MeasuredChannel channel{.number = index + 1,
                            .calibration = calibration.calibration,
                            .why_no_level = calibration.why_none,
                            .calibrated_how = calibration.how,
                            .tone = calibration.tone,
                            .calibrator_level = calibration.produced,
                            .drift = calibration.drift,
                            .sources = sources};
    auto& findings = channel.levels.findings;
    if (channel.calibration) {
        take_levels(channel, request, index, reading);
    } else {
        channel.levels.duration = reading.duration;
        // As long as it is, without a level.
        channel.levels.seconds.resize(reading.time.seconds.size());
        channel.levels.last_second = reading.time.last_second;
        findings = findings_of(reading);
    }
    // In a session of several sequences unsteadiness is what there is to see.
    if (!request.find_runs)
        std::ranges::move(findings_on_course(reading), std::back_inserter(findings));
    std::ranges::move(calibration.findings, std::back_inserter(findings));
    findings.insert(findings.begin(), on_sources.begin(), on_sources.end());
    if (channel.levels.LAeq && !request.find_runs)
        channel.uncertainty = uncertainty_of(channel, reading, request.instrument);
    if (request.tracing == Tracing::On) channel.working = working_of(channel);
    return channel;
}

}  // namespace

RecordedBackground read_background(const OpenRecording& open) {
    const auto once = open();
    RecordedBackground background{read_channels(*once), {}, once->state()};
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
        result.channels.push_back(measured(request, i, readings[i], recording.state()));
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
