#include <algorithm>
#include <string>
#include <string_view>

#include "earbudget/measurement/meters/channel_reading.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget {

namespace {

/// Lets plausible levels through and remembers the others by name.
class PlausibleLevels {
  public:
    template <class Quantity>
    std::optional<Level<Quantity>> take(std::optional<Level<Quantity>> level, const Message& name) {
        if (!level || is_plausible_level(level->dB())) return level;
        (level->dB() > highest_level_dB ? too_high_ : too_low_).push_back(name);
        return std::nullopt;
    }
    template <class Quantity>
    std::optional<Level<Quantity>> take(std::optional<Level<Quantity>> level, const char* name) {
        return take(level, as_it_stands(name));
    }

    void report(std::vector<Finding>& findings) const {
        if (!too_high_.empty()) {
            findings.push_back({QualityCode::LevelOutOfRange,
                                say<FindingPhrase::TooLoud>(highest_level_dB, too_high_)});
        }
        if (!too_low_.empty()) {
            findings.push_back({QualityCode::NearNoiseFloor,
                                say<FindingPhrase::TooFaint>(lowest_level_dB, too_low_)});
        }
    }

  private:
    std::vector<Message> too_high_;
    std::vector<Message> too_low_;
};

template <class Quantity>
std::optional<Level<Quantity>> in_air(const std::optional<LevelFS>& recorded,
                                      const Calibration& calibration) {
    if (!recorded) return std::nullopt;
    return calibration.level<Quantity>(*recorded);
}

template <class Quantity>
OctaveLevels<Quantity> in_air(const OctaveLevels<quantity::FullScale>& recorded,
                              const Calibration& calibration, PlausibleLevels& plausible) {
    OctaveLevels<Quantity> levels;
    for (const OctaveBand band : octave_bands) {
        const auto name = say<FindingPhrase::Band>(name_of(band));
        const auto level = plausible.take(in_air<Quantity>(recorded.at(band), calibration), name);
        if (level) levels.set(band, *level);
    }
    return levels;
}

void take_time_weighted(ChannelLevels& levels, const TimeWeightedLevels& recorded,
                        const Calibration& calibration) {
    // Where LAeq can be given, these say nothing new by being out of range.
    PlausibleLevels unreported;
    const auto take = [&](const std::optional<LevelFS>& level) {
        return unreported.take(in_air<quantity::AWeighted>(level, calibration), "");
    };
    levels.LAFmax = take(recorded.F_max);
    levels.LAFmin = take(recorded.F_min);
    levels.LASmax = take(recorded.S_max);
    levels.LASmin = take(recorded.S_min);
    std::ranges::transform(recorded.F_exceeded, levels.LAF_exceeded.begin(), take);
    for (const float mean_square : recorded.seconds)
        levels.seconds.push_back(take(level_of_mean_square(static_cast<double>(mean_square))));
    levels.last_second = recorded.last_second;
}

/// A band without energy in a recording that is not silent has no level either: say so.
void report_empty_bands(const ChannelReading& reading, std::vector<Finding>& findings) {
    if (!reading.Z || (reading.octave.bands() | reading.above_nyquist).all()) return;
    findings.push_back({QualityCode::NearNoiseFloor, say<FindingPhrase::EmptyBands>()});
}

}  // namespace

ChannelLevels calibrated(const ChannelReading& reading, const Calibration& calibration) {
    PlausibleLevels plausible;
    ChannelLevels levels{};
    levels.duration = reading.duration;
    levels.LAeq = plausible.take(in_air<quantity::AWeighted>(reading.A, calibration), "LAeq");
    levels.LCeq = plausible.take(in_air<quantity::CWeighted>(reading.C, calibration), "LCeq");
    levels.LZeq = plausible.take(in_air<quantity::Unweighted>(reading.Z, calibration), "LZeq");
    if (levels.LAeq) {
        levels.LAE = plausible.take(sound_exposure_level(*levels.LAeq, reading.duration), "LAE");
    }
    levels.LCpeak =
        plausible.take(in_air<quantity::CWeightedPeak>(reading.C_peak, calibration), "LCpeak");
    levels.LZpeak =
        plausible.take(in_air<quantity::UnweightedPeak>(reading.Z_peak, calibration), "LZpeak");
    levels.octave = in_air<quantity::Unweighted>(reading.octave, calibration, plausible);
    // Bands that only A weighting makes so faint need no finding of their own.
    PlausibleLevels unreported;
    levels.octave_A = in_air<quantity::AWeighted>(reading.octave_A, calibration, unreported);
    for (std::size_t n = 0; n < third_octave_count; ++n) {
        levels.third_octave[n] = unreported.take(
            in_air<quantity::Unweighted>(reading.third_octave[n], calibration), "third octave");
    }
    take_time_weighted(levels, reading.time, calibration);
    levels.above_nyquist = reading.above_nyquist;
    levels.findings = findings_of(reading);
    report_empty_bands(reading, levels.findings);
    plausible.report(levels.findings);
    return levels;
}

std::optional<SoundLevels> ChannelLevels::sound_levels() const {
    if (!LAeq) return std::nullopt;
    SoundLevels levels{.LAeq = *LAeq};
    levels.LCeq = LCeq;
    levels.LCpeak = LCpeak;
    levels.LZpeak = LZpeak;
    levels.octave = octave;
    levels.octave_A = octave_A;
    return levels;
}

}  // namespace earbudget
