#include "cli/measure_inputs.hpp"

#include <memory>

#include <fmt/format.h>

#include "files/duration_parser.hpp"

namespace earbudget::cli {

namespace {

/// The tones of one recording for every channel, or of one recording a channel.
std::vector<CalibratorToneResult> tones_in(const std::vector<std::string>& paths) {
    std::vector<CalibratorToneResult> results;
    for (std::size_t n = 0; n < paths.size(); ++n) {
        files::SoundFile recording(paths[n]);
        auto tones = find_calibrator_tones(recording);
        if (paths.size() == 1) return tones;
        const std::size_t channel = tones.size() == 1 ? 0 : n;
        if (channel >= tones.size()) {
            throw InputError({paths[n]},
                             fmt::format("calibration {} has no channel {}; accepted: one channel, "
                                         "or as many as the recording",
                                         n + 1, n + 1));
        }
        results.push_back(tones[channel]);
    }
    return results;
}

StatedCalibration stated_calibration(const MeasureOptions& options) {
    StatedCalibration stated;
    for (const double level : options.full_scale_level_dB)
        stated.channels.emplace_back(LevelZ(level));
    const auto& sensitivities = options.sensitivity_mV_per_Pa;
    const auto& volts = options.full_scale_volts;
    // One recorder may serve several microphones.
    for (std::size_t n = 0; n < sensitivities.size(); ++n) {
        stated.channels.push_back(
            Calibration::from_sensitivity(sensitivities[n], volts[volts.size() == 1 ? 0 : n]));
    }
    if (!sensitivities.empty()) {
        stated.how = fmt::format("by {} mV/Pa and {} V at full scale",
                                 fmt::join(sensitivities, ", "), fmt::join(volts, ", "));
    }
    return stated;
}

Seconds moment(const std::string& text) {
    auto time = files::parse_duration(text);
    if (!time) time = files::parse_duration(text + " s");
    return time.value_or(Seconds(-1.0));
}

}  // namespace

std::vector<std::string> measure_inputs(const MeasureOptions& options) {
    std::vector<std::string> inputs = options.recordings;
    inputs.insert(inputs.end(), options.calibration.begin(), options.calibration.end());
    inputs.insert(inputs.end(), options.calibration_after.begin(), options.calibration_after.end());
    if (options.background) inputs.push_back(*options.background);
    return inputs;
}

CalibrationSource calibration_source(const MeasureOptions& options) {
    if (options.calibration.empty()) return stated_calibration(options);
    RecordedCalibrator calibrator{.channels = tones_in(options.calibration),
                                  .produced = LevelZ(*options.calibrator_level_dB),
                                  .accept_drift = options.accept_drift};
    if (!options.calibration_after.empty()) calibrator.after = tones_in(options.calibration_after);
    return calibrator;
}

std::optional<RecordedBackground> background_for(const MeasureOptions& options) {
    if (!options.background) return std::nullopt;
    return read_background([&]() -> std::unique_ptr<SampleSource> {
        return std::make_unique<files::SoundFile>(*options.background);
    });
}

std::optional<Excerpt> part_of(files::SoundFile& recording, const std::string& path,
                               const MeasureOptions& options) {
    if (!options.from && !options.to) return std::nullopt;
    const Seconds from = options.from ? moment(*options.from) : Seconds(0.0);
    const auto whole = recording.announced_duration();
    const Seconds to = options.to ? moment(*options.to) : whole.value_or(Seconds(1e9));
    if (whole && (from >= *whole || to > *whole + Seconds(0.001))) {
        throw InputError({path},
                         fmt::format("the recording lasts {:.3f} s; accepted: --from and --to "
                                     "within it, from 0 to {:.3f}",
                                     whole->count(), whole->count()));
    }
    return std::make_optional<Excerpt>(recording, from, to);
}

}  // namespace earbudget::cli
