#include "cli/measure_inputs.hpp"

#include <memory>

#include <fmt/format.h>

#include "files/error_list.hpp"
#include "files/written_values.hpp"

namespace earbudget::cli {

namespace {

/// Tones and what they were found in, as many of both.
struct Tones {
    std::vector<CalibratorToneResult> results;
    std::vector<ToneRecording> recordings;
};

/// The tones of one recording for every channel, or of one recording a channel.
Tones tones_in(const std::vector<std::string>& paths, FilesRead& read) {
    Tones tones;
    for (std::size_t n = 0; n < paths.size(); ++n) {
        files::SoundFile recording(paths[n]);
        recording.hash_meanwhile();
        auto found = find_calibrator_tones(recording);
        read.push_back({paths[n], recording.sha256()});
        const ToneRecording origin{paths[n], recording.state()};
        if (paths.size() == 1) {
            const std::vector<ToneRecording> alike(found.size(), origin);
            return {std::move(found), alike};
        }
        const std::size_t channel = found.size() == 1 ? 0 : n;
        if (channel >= found.size()) {
            throw InputError({paths[n]}, fmt::format("calibration {} has no channel {}; accepted: "
                                                     "one channel, or as many as the recording",
                                                     n + 1, n + 1));
        }
        tones.results.push_back(found[channel]);
        tones.recordings.push_back(origin);
    }
    return tones;
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

}  // namespace

std::optional<Seconds> parse_moment(const std::string& text) {
    const auto time = files::parse_duration(text);
    return time ? time : files::parse_duration(text + " s");
}

std::vector<std::string> measure_inputs(const MeasureOptions& options) {
    std::vector<std::string> inputs = options.recordings;
    inputs.insert(inputs.end(), options.calibration.begin(), options.calibration.end());
    inputs.insert(inputs.end(), options.calibration_after.begin(), options.calibration_after.end());
    for (const auto& file : {options.background, options.setup, options.table})
        if (file) inputs.push_back(*file);
    return inputs;
}

CalibrationSource calibration_source(const MeasureOptions& options, FilesRead& read) {
    if (options.calibration.empty()) return stated_calibration(options);
    files::ErrorList errors;
    Tones before;
    Tones after;
    errors.attempt([&] { before = tones_in(options.calibration, read); });
    errors.attempt([&] { after = tones_in(options.calibration_after, read); });
    errors.throw_if_any();
    return RecordedCalibrator{.channels = std::move(before.results),
                              .produced = LevelZ(*options.calibrator_level_dB),
                              .after = std::move(after.results),
                              .accept_drift = options.accept_drift,
                              .recordings = std::move(before.recordings),
                              .recordings_after = std::move(after.recordings)};
}

std::optional<RecordedBackground> background_for(const MeasureOptions& options, FilesRead& read) {
    if (!options.background) return std::nullopt;
    // Opened once, for it is read twice.
    const auto file = files::SoundFile::open(*options.background);
    auto background = read_background([&]() -> std::unique_ptr<SampleSource> {
        return std::make_unique<files::SoundFile>(file);
    });
    read.push_back({*options.background, files::SoundFile(file).sha256()});
    return background;
}

std::optional<Excerpt> part_of(files::SoundFile& recording, const std::string& path,
                               const MeasureOptions& options) {
    if (!options.from && !options.to) return std::nullopt;
    const Seconds from = options.from ? parse_moment(*options.from).value() : Seconds(0.0);
    const auto whole = recording.announced_duration();
    const Seconds to =
        options.to ? parse_moment(*options.to).value() : whole.value_or(Seconds(1e9));
    if (whole && (from >= *whole || to > *whole + Seconds(0.001))) {
        throw InputError({path}, fmt::format("the recording lasts {:.3f} s; accepted: --from and "
                                             "--to within it, from 0 s to {:.3f} s",
                                             whole->count(), whole->count()));
    }
    return std::make_optional<Excerpt>(recording, from, to);
}

}  // namespace earbudget::cli
