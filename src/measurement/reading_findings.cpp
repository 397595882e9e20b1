#include <cmath>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "earbudget/acoustics/octave_band.hpp"
#include "earbudget/measurement/channel_levels.hpp"
#include "earbudget/measurement/full_scale.hpp"

namespace earbudget {

namespace {

// Four strokes of a helium pump that makes two a second. The level of random noise in the 31.5 Hz
// octave band has a standard error of 4.34 dB / sqrt(bandwidth · time): 0.65 dB after 2 s, 0.29 dB
// after 10 s.
constexpr Seconds shortest_recording{2.0};
constexpr Seconds enough_for_any_sound{10.0};

// At least this far above the noise of rounding to codes, step² / 12, it changes a level by less
// than 0.5 dB.
constexpr LevelDifference clear_of_quantization{10.0};

Finding clipped(const ChannelReading& reading) {
    const std::string limit =
        reading.clipping.below_full_scale
            ? fmt::format("{:.1f} dB below full scale", -20.0 * std::log10(reading.clipping.at))
            : "full scale";
    const double first =
        static_cast<double>(reading.clipping.first_sample) / reading.sample_rate.Hz();
    return {QualityCode::Clipped,
            fmt::format("Cut off at {} in {} place{}, first at {:.2f} s: the levels are too "
                        "low by an unknown amount. Lower the gain and record again.",
                        limit, reading.clipping.stretches,
                        reading.clipping.stretches == 1 ? "" : "s", first)};
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
    return noise && *reading.Z - *noise < clear_of_quantization;
}

Finding quantization_noise() {
    return {QualityCode::NearNoiseFloor,
            "The recording is so faint that its own rounding counts: the levels may be too high. "
            "Raise the gain or record with more bits."};
}

}  // namespace

std::vector<Finding> findings_of(const ChannelReading& reading) {
    std::vector<Finding> findings;
    if (reading.clipping.stretches > 0) findings.push_back(clipped(reading));
    if (reading.duration < shortest_recording) findings.push_back(too_short(reading.duration));
    if (reading.above_nyquist.any()) findings.push_back(above_nyquist(reading));
    if (!reading.Z) {
        findings.push_back(silence());
    } else if (near_quantization_noise(reading)) {
        findings.push_back(quantization_noise());
    }
    return findings;
}

}  // namespace earbudget
