#include <algorithm>
#include <cmath>
#include <future>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "cli/for_each_at_once.hpp"
#include "cli/measured_card.hpp"
#include "cli/messages.hpp"
#include "earbudget/decision/measure.hpp"
#include "files/output.hpp"
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
    check_card_usage(options);
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
    auto sha256 = std::async(std::launch::async, [&path] { return files::sha256_of_file(path); });
    report::RecordingReport result{{path, {}}, measure(recording, calibration)};
    result.file.sha256 = sha256.get();
    if (options.channel) {
        auto& channels = result.measured.channels;
        channels = {channels[*options.channel - 1]};
    }
    return result;
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
    const auto recordings = for_each_at_once(options.recordings, [&](const std::string& path) {
        return measure_file(path, calibration, options);
    });
    std::vector<std::string> inputs = options.recordings;
    if (options.calibration) inputs.push_back(*options.calibration);
    check_output_is_no_input(options.output, inputs);
    if (options.card) files::check_is_no_input(*options.card, inputs);
    const std::string report = options.output.format == "json" ? report::measure_json(recordings)
                                                               : report::measure_text(recordings);
    if (options.card) {
        files::write_file(*options.card, measured_card(recordings.front(), options),
                          options.output.force);
    }
    deliver(report, options.output);
    const bool decidable = std::all_of(recordings.begin(), recordings.end(), is_calibrated);
    return decidable ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
