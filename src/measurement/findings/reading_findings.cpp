#include <cmath>
#include <string>
#include <vector>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/findings/sequence_runs.hpp"
#include "earbudget/measurement/findings/steadiness.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
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
    const auto& found = reading.clipping;
    return {QualityCode::Clipped,
            say<FindingPhrase::CutOff>(found.below_full_scale ? say<FindingPhrase::BelowFullScale>(
                                                                    -20.0 * std::log10(found.at))
                                                              : say<FindingPhrase::FullScale>(),
                                       found.stretches, time_of(reading, found.first_sample))};
}

Finding dropouts(const ChannelReading& reading) {
    const Dropouts& found = reading.dropouts;
    return {QualityCode::Dropout,
            say<FindingPhrase::SamplesMissing>(found.count, 1000.0 * found.total.count(),
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

Finding above_nyquist(const ChannelReading& reading) {
    std::vector<std::string> names;
    for (const OctaveBand band : octave_bands)
        if (reading.above_nyquist.test(index_of(band))) names.emplace_back(name_of(band));
    const double rate = reading.sample_rate.Hz();
    return {QualityCode::BandAboveNyquist,
            say<FindingPhrase::AboveNyquist>(rate, rate / 2.0, names)};
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

Finding not_steady(const Steadiness& steadiness, Seconds duration) {
    constexpr double many_times = 20.0;
    const LevelDifference u = steadiness.standard_uncertainty;
    if (steadiness.enough > many_times * duration)
        return {QualityCode::NotSteady, say<FindingPhrase::ManySounds>(u)};
    // A recording time as one would say it.
    constexpr double minute = 60.0;
    const double enough = steadiness.enough.count();
    const bool in_seconds = enough < 2.0 * minute;
    return {QualityCode::NotSteady,
            say<FindingPhrase::NotSteady>(u, std::ceil(in_seconds ? enough : enough / minute),
                                          in_seconds)};
}

}  // namespace

std::vector<Finding> findings_of(const ChannelReading& reading) {
    std::vector<Finding> findings;
    const auto add = [&](bool found, QualityCode code, const Message& says) {
        if (found) findings.push_back({code, says});
    };
    if (reading.clipping.stretches > 0) findings.push_back(clipped(reading));
    if (reading.dropouts.count > 0) findings.push_back(dropouts(reading));
    add(has_large_offset(reading) && reading.clipping.stretches == 0, QualityCode::ConstantOffset,
        say<FindingPhrase::ConstantOffset>(100.0 * reading.offset));
    add(reading.duration < shortest_recording, QualityCode::TooShort,
        say<FindingPhrase::TooShort>(reading.duration.count(), shortest_recording.count(),
                                     enough_for_any_sound.count()));
    if (reading.above_nyquist.any()) findings.push_back(above_nyquist(reading));
    add(!reading.Z, QualityCode::NearNoiseFloor, say<FindingPhrase::DigitalSilence>());
    add(near_quantization_noise(reading), QualityCode::NearNoiseFloor,
        say<FindingPhrase::NearRounding>());
    return findings;
}

std::vector<Finding> findings_on_course(const ChannelReading& reading) {
    std::vector<Finding> findings;
    const auto& steadiness = reading.steadiness;
    if (steadiness && !steadiness->steady)
        findings.push_back(not_steady(*steadiness, reading.duration));
    const Interference bursts = find_interference(reading.time.history);
    if (bursts.count > 0) {
        findings.push_back(
            {QualityCode::Interference,
             say<FindingPhrase::Bursts>(bursts.count, (reading.start + bursts.first).count(),
                                        bursts.raises_LAeq_by)});
    }
    if (const auto& peaks = reading.rare_peaks) {
        findings.push_back(
            {QualityCode::Interference,
             say<FindingPhrase::RarePeaks>(peaks->count, (reading.start + peaks->first).count(),
                                           peaks->above_the_rest)});
    }
    return findings;
}

}  // namespace earbudget
