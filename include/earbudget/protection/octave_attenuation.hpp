#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/sound_levels.hpp"

namespace earbudget {

/// Test frequencies between the octave bands, which only the NRR looks at (40 CFR 211.207).
enum class ExtraBand : std::size_t { Hz3150, Hz6300 };

inline constexpr std::array<ExtraBand, 2> extra_bands = {ExtraBand::Hz3150, ExtraBand::Hz6300};

/// Attenuation at one test frequency: the mean over people and the standard deviation between them.
struct BandAttenuation {
    LevelDifference mean;
    LevelDifference deviation;
};

/// Sound attenuation of a hearing protector by octave band, 63 Hz to 8 kHz, as measured on people
/// (ISO 4869-1): the mean over people and the standard deviation between them, both in dB. What was
/// measured between the octave bands is kept apart and belongs to none of them.
class OctaveAttenuation {
  public:
    void set(OctaveBand band, LevelDifference mean, LevelDifference deviation) {
        mean_[index(band)] = mean.dB();
        deviation_[index(band)] = deviation.dB();
        present_.set(index_of(band));
    }

    [[nodiscard]] bool has(OctaveBand band) const { return present_.test(index_of(band)); }
    [[nodiscard]] OctaveMask bands() const { return present_; }

    /// Mean attenuation; the band must be present.
    [[nodiscard]] LevelDifference mean(OctaveBand band) const {
        return LevelDifference(mean_[index(band)]);
    }
    /// Standard deviation between people; the band must be present.
    [[nodiscard]] LevelDifference deviation(OctaveBand band) const {
        return LevelDifference(deviation_[index(band)]);
    }

    /// Assumed protection value APV = mean − α·sd (ISO 4869-2, clause 5); the band must be present.
    [[nodiscard]] LevelDifference assumed_protection_value(OctaveBand band, double alpha) const {
        return mean(band) - alpha * deviation(band);
    }

    void set(ExtraBand band, BandAttenuation attenuation) {
        extra_[static_cast<std::size_t>(band)] = attenuation;
    }
    /// Attenuation between the octave bands; none where it was not measured.
    [[nodiscard]] const std::optional<BandAttenuation>& at(ExtraBand band) const {
        return extra_[static_cast<std::size_t>(band)];
    }

  private:
    static constexpr Eigen::Index index(OctaveBand band) {
        return static_cast<Eigen::Index>(index_of(band));
    }

    OctaveArray mean_ = OctaveArray::Zero();
    OctaveArray deviation_ = OctaveArray::Zero();
    OctaveMask present_;
    std::array<std::optional<BandAttenuation>, extra_bands.size()> extra_;
};

/// The bands in which attenuation may be stated: 125 Hz to 8 kHz, and 63 Hz where there are data.
[[nodiscard]] inline OctaveMask permitted_attenuation_bands() {
    return bands_from_125_Hz().set(index_of(OctaveBand::Hz63));
}

}  // namespace earbudget
