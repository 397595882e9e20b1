#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "cli/messages.hpp"
#include "earbudget/decision/measure.hpp"
#include "files/output.hpp"
#include "files/sequence_card.hpp"
#include "files/sha256.hpp"
#include "files/sound_file.hpp"
#include "report/measure_report.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse_usage(const std::string& message) {
    throw UsageProblem("earbudget measure: " + message);
}

void check_level(const std::optional<double>& level, std::string_view option, double highest) {
    if (!level) return;
    if (std::isfinite(*level) && *level >= lowest_level_dB && *level <= highest) return;
    refuse_usage(fmt::format("{} is {}; accepted: a level from {:g} to {:g} dB", option, *level,
                             lowest_level_dB, highest));
}

void check_usage(const MeasureOptions& options) {
    // A full scale may lie above every sound that a channel will carry.
    constexpr double highest_full_scale = 250.0;
    check_level(options.full_scale_level_dB, "--full-scale-level", highest_full_scale);
    check_level(options.calibrator_level_dB, "--calibrator-level", highest_level_dB);
    if (options.calibration.has_value() != options.calibrator_level_dB.has_value()) {
        refuse_usage(
            "--calibration and --calibrator-level go together; accepted: the recording of a "
            "calibrator's tone and the level in dB that it produced");
    }
    if (options.calibration && options.full_scale_level_dB) {
        refuse_usage("two calibrations are given; accepted: --calibration or --full-scale-level");
    }
    if (!options.calibration && !options.full_scale_level_dB) {
        refuse_usage(
            "without a calibration there are no decibels; accepted: --calibration FILE with "
            "--calibrator-level DB, or --full-scale-level DB");
    }
    if (options.card && options.recordings.size() != 1) {
        refuse_usage("--card is for one recording; accepted: one RECORDING");
    }
    if (options.uncertainty_dB &&
        !(*options.uncertainty_dB >= 0.0 && *options.uncertainty_dB <= 30.0)) {
        refuse_usage(
            fmt::format("--uncertainty is {}; accepted: 0 to 30 dB", *options.uncertainty_dB));
    }
}

CalibrationSource calibration_source(const MeasureOptions& options) {
    if (options.full_scale_level_dB) return LevelZ(*options.full_scale_level_dB);
    files::SoundFile tone(*options.calibration);
    return RecordedCalibrator{find_calibrator_tones(tone), LevelZ(*options.calibrator_level_dB)};
}

report::RecordingReport measure_file(const std::string& path, const CalibrationSource& calibration,
                                     const MeasureOptions& options) {
    files::SoundFile recording(path);
    if (!calibrates(calibration, recording.channels())) {
        throw InputError({*options.calibration},
                         fmt::format("the calibration does not have the {} channels of \"{}\"; "
                                     "accepted: one channel, or as many as the recording",
                                     recording.channels(), path));
    }
    if (options.channel && (*options.channel < 1 || *options.channel > recording.channels())) {
        throw InputError({path}, fmt::format("the recording has no channel {}; accepted: 1 to {}",
                                             *options.channel, recording.channels()));
    }
    report::RecordingReport result{{path, files::sha256_of_file(path)},
                                   measure(recording, calibration)};
    if (options.channel) {
        auto& channels = result.measured.channels;
        channels = {channels[*options.channel - 1]};
    }
    return result;
}

std::string card_id(const MeasureOptions& options) {
    const std::string id = options.card_id.empty()
                               ? std::filesystem::path(*options.card).stem().string()
                               : options.card_id;
    if (!files::is_valid_id(id)) {
        refuse_usage(
            fmt::format("\"{}\" is no id for a card; accepted: --id with letters, digits, "
                        "'-', '_' and '.'",
                        id));
    }
    return id;
}

const MeasuredChannel& channel_for_card(const report::RecordingReport& recording) {
    const MeasuredChannel* channel = loudest_channel(recording.measured);
    if (!channel) {
        const auto& findings = recording.measured.channels.front().levels.findings;
        throw InputError({recording.file.path},
                         fmt::format("no card can be written, since there is no level: {}",
                                     findings.empty() ? "" : findings.back().text));
    }
    for (const Finding& finding : channel->levels.findings) {
        if (finding.code != QualityCode::Clipped) continue;
        throw InputError(
            {recording.file.path},
            fmt::format("no card can be written from a clipped recording: {}", finding.text));
    }
    return *channel;
}

std::string card_text(const report::RecordingReport& recording, const MeasureOptions& options) {
    const MeasuredChannel& channel = channel_for_card(recording);
    CardLevels card = card_levels(channel);
    if (options.uncertainty_dB) card.levels.uncertainty = LevelDifference(*options.uncertainty_dB);
    if (const auto contradiction = contradiction_in(card.levels)) {
        throw InputError({recording.file.path},
                         fmt::format("no card can be written: {}", *contradiction));
    }
    for (const std::string& note : card.notes)
        say("note: " + note);
    if (recording.measured.channels.size() > 1) {
        say(fmt::format("note: the card is of channel {}, the loudest", channel.number));
    }
    const std::string id = card_id(options);
    return files::write_sequence_card(
        {.id = id,
         .title = options.card_title.empty() ? id : options.card_title,
         .levels = card.levels,
         .origin = {.how = "measured",
                    .who = options.who,
                    .when = options.when,
                    .where = options.where,
                    .instrument = options.instrument,
                    .recording = std::filesystem::path(recording.file.path).filename().string(),
                    .recording_sha256 = recording.file.sha256}});
}

bool is_calibrated(const report::RecordingReport& recording) {
    const auto& channels = recording.measured.channels;
    return std::all_of(channels.begin(), channels.end(),
                       [](const MeasuredChannel& c) { return c.calibration.has_value(); });
}

}  // namespace

ExitStatus run_measure(const MeasureOptions& options) {
    check_usage(options);
    check_output(options.output);
    if (options.card) files::check_can_write(*options.card, options.output.force);
    const CalibrationSource calibration = calibration_source(options);
    std::vector<report::RecordingReport> recordings;
    for (const std::string& path : options.recordings) {
        recordings.push_back(measure_file(path, calibration, options));
    }
    const std::string report = options.output.format == "json" ? report::measure_json(recordings)
                                                               : report::measure_text(recordings);
    if (options.card) {
        files::write_file(*options.card, card_text(recordings.front(), options),
                          options.output.force);
    }
    deliver(report, options.output);
    const bool decidable = std::all_of(recordings.begin(), recordings.end(), is_calibrated);
    return decidable ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
