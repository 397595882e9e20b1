#include <cmath>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/findings/interference.hpp"
#include "earbudget/measurement/findings/sequence_runs.hpp"
#include "earbudget/measurement/findings/steadiness.hpp"
#include "earbudget/measurement/meters/channel_levels.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget {

namespace {

// Four strokes of a helium pump that makes two a second; see enough_for_any_sound, which is 0.65 dB
// here.
constexpr Seconds shortest_recording{2.0};

// At least this far above the noise of rounding to codes, step² / 12, it changes a level by less
// than 0.5 dB.
constexpr LevelDifference clear_of_quantization{10.0};

double time_of(const ChannelReading& reading, std::uint64_t sample) {
    return reading.start.count() + static_cast<double>(sample) / reading.sample_rate.Hz();
}

Finding clipped(const ChannelReading& reading) {
    const std::string limit =
        reading.clipping.below_full_scale
            ? fmt::format("{:.1f} dB below full scale", -20.0 * std::log10(reading.clipping.at))
            : "full scale";
    const double first = time_of(reading, reading.clipping.first_sample);
    return {QualityCode::Clipped,
            fmt::format("Cut off at {} in {} place{}, first at {:.2f} s: the levels are too "
                        "low by an unknown amount. Lower the gain and record again.",
                        limit, reading.clipping.stretches,
                        reading.clipping.stretches == 1 ? "" : "s", first)};
}

Finding dropouts(const ChannelReading& reading) {
    const Dropouts& found = reading.dropouts;
    return {QualityCode::Dropout,
            fmt::format("Samples are missing in {} place{}, {:.0f} ms in all, first at {:.2f} s: "
                        "the recording stands still there, and its levels are too low. Record "
                        "again, on a faster card or with nothing else running.",
                        found.count, found.count == 1 ? "" : "s", 1000.0 * found.total.count(),
                        time_of(reading, found.first_sample))};
}

/// An offset that takes room from the signal, or is more than the signal itself.
bool has_large_offset(const ChannelReading& reading) {
    constexpr double large = 0.01;       // of full scale; ours
    constexpr double smallest = 0.0001;  // as any recorder has
    const double size = std::abs(reading.offset);
    if (!reading.Z) return false;
    const auto level = level_of_mean_square(reading.offset * reading.offset);
    return size > large || (size > smallest && level && *level > *reading.Z);
}

Finding constant_offset(const ChannelReading& reading) {
    return {QualityCode::ConstantOffset,
            fmt::format("The recording has a constant offset of {:+.2f} % of full scale. It was "
                        "taken off and does not count in any level, but may come from a damaged "
                        "input: check microphone supply and recorder.",
                        100.0 * reading.offset)};
}

Finding too_short(Seconds duration) {
    return {
        QualityCode::TooShort,
        fmt::format("Lasts {:.2f} s: below {:.0f} s the levels of pulsed or random sound depend "
                    "on chance. Record {:.0f} s or more.",
                    duration.count(), shortest_recording.count(), enough_for_any_sound.count())};
}

Finding above_nyquist(const ChannelReading& reading) {
    std::string names;
    for (const OctaveBand band : octave_bands) {
        if (!reading.above_nyquist.test(index_of(band))) continue;
        if (!names.empty()) names += ", ";
        names += name_of(band);
    }
    return {QualityCode::BandAboveNyquist,
            fmt::format("At {:g} Hz sampling rate nothing above {:g} Hz is recorded: octave bands "
                        "not given: {} Hz; all other levels lack what lies there. Record at 48000 "
                        "Hz.",
                        reading.sample_rate.Hz(), reading.sample_rate.Hz() / 2.0, names)};
}

Finding silence() {
    return {QualityCode::NearNoiseFloor,
            "Nothing but digital silence: no level is given. Check the microphone, its cable and "
            "the channel."};
}

bool near_quantization_noise(const ChannelReading& reading) {
    if (!reading.quantization || !reading.Z) return false;
    const double step = reading.quantization->step;
    const auto noise = level_of_mean_square(step * step / 12.0);
    const auto near = [&](const std::optional<LevelFS>& level) {
        return noise && level && *level - *noise < clear_of_quantization;
    };
    // A weighting leaves most of the noise of rounding, but not of a rumble that hides it.
    return near(reading.Z) || near(reading.A);
}

Finding quantization_noise() {
    return {
        QualityCode::NearNoiseFloor,
        "The recording is so faint, as a whole or once A-weighted, that its own rounding counts: "
        "the levels may be too high. "
        "Raise the gain or record with more bits."};
}

/// A recording time as one would say it.
std::string text_of_about(Seconds time) {
    constexpr double minute = 60.0;
    if (time.count() < 2.0 * minute) return fmt::format("{:.0f} s", std::ceil(time.count()));
    return fmt::format("{:.0f} min", std::ceil(time.count() / minute));
}

Finding not_steady(const Steadiness& steadiness, Seconds duration) {
    constexpr double many_times = 20.0;
    if (steadiness.enough > many_times * duration) {
        return {QualityCode::NotSteady,
                fmt::format("The level varies so much that this is no recording of one steady "
                            "sound (k = 1: {:.1f} dB): pauses, or several sequences? Find them "
                            "with --find-runs and measure one with --from and --to.",
                            steadiness.standard_uncertainty.dB())};
    }
    return {QualityCode::NotSteady,
            fmt::format("The level varies so much that another recording of this length would "
                        "differ by {:.1f} dB (k = 1). Record {} or whole repetitions of the "
                        "sequence, for 0.2 dB.",
                        steadiness.standard_uncertainty.dB(), text_of_about(steadiness.enough))};
}

Finding interference(const Interference& bursts, Seconds start) {
    return {QualityCode::Interference,
            fmt::format("{} short burst{} stand{} out, the first at {:.1f} s, and raise{} LAeq by "
                        "{:.1f} dB: something fell, slammed or crackled? Listen there; measure "
                        "another part with --from and --to, or record again.",
                        bursts.count, bursts.count == 1 ? "" : "s", bursts.count == 1 ? "s" : "",
                        (start + bursts.first).count(), bursts.count == 1 ? "s" : "",
                        bursts.raises_LAeq_by.dB())};
}

Finding rare_peaks(const ChannelReading& reading) {
    const RarePeaks& peaks = *reading.rare_peaks;
    return {QualityCode::Interference,
            fmt::format("{} short peak{} stand{} out, the first near {:.2f} s; the highest lies "
                        "{:.1f} dB above all others, and LCpeak hangs on it. If it is no part of "
                        "the sequence (a knock, a click, crackle), measure another part with "
                        "--from and --to, or record again.",
                        peaks.count, peaks.count == 1 ? "" : "s", peaks.count == 1 ? "s" : "",
                        (reading.start + peaks.first).count(), peaks.above_the_rest.dB())};
}

}  // namespace

std::vector<Finding> findings_of(const ChannelReading& reading) {
    std::vector<Finding> findings;
    if (reading.clipping.stretches > 0) findings.push_back(clipped(reading));
    if (reading.dropouts.count > 0) findings.push_back(dropouts(reading));
    if (has_large_offset(reading) && reading.clipping.stretches == 0)
        findings.push_back(constant_offset(reading));
    if (reading.duration < shortest_recording) findings.push_back(too_short(reading.duration));
    if (reading.above_nyquist.any()) findings.push_back(above_nyquist(reading));
    if (!reading.Z) {
        findings.push_back(silence());
    } else if (near_quantization_noise(reading)) {
        findings.push_back(quantization_noise());
    }
    return findings;
}

std::vector<Finding> findings_on_course(const ChannelReading& reading) {
    std::vector<Finding> findings;
    const auto& steadiness = reading.steadiness;
    if (steadiness && !steadiness->steady)
        findings.push_back(not_steady(*steadiness, reading.duration));
    const Interference bursts = find_interference(reading.time.history);
    if (bursts.count > 0) findings.push_back(interference(bursts, reading.start));
    if (reading.rare_peaks) findings.push_back(rare_peaks(reading));
    return findings;
}

}  // namespace earbudget
