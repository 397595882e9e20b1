#pragma once

#include <optional>

#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/acoustics/octave_levels.hpp"

namespace earbudget {

/// Sound attenuation of a hearing protector by octave band, 63 Hz to 8 kHz, as measured on people
/// (ISO 4869-1): the mean over people and the standard deviation between them, both in dB.
class OctaveAttenuation {
  public:
    void set(OctaveBand band, LevelDifference mean, LevelDifference deviation) {
        mean_[at(band)] = mean.dB();
        deviation_[at(band)] = deviation.dB();
        present_.set(index_of(band));
    }

    [[nodiscard]] bool has(OctaveBand band) const { return present_.test(index_of(band)); }
    [[nodiscard]] OctaveMask bands() const { return present_; }

    /// Mean attenuation; the band must be present.
    [[nodiscard]] LevelDifference mean(OctaveBand band) const {
        return LevelDifference(mean_[at(band)]);
    }
    /// Standard deviation between people; the band must be present.
    [[nodiscard]] LevelDifference deviation(OctaveBand band) const {
        return LevelDifference(deviation_[at(band)]);
    }

    /// Assumed protection value APV = mean − α·sd (ISO 4869-2, clause 5); the band must be present.
    [[nodiscard]] LevelDifference assumed_protection_value(OctaveBand band, double alpha) const {
        return mean(band) - alpha * deviation(band);
    }

  private:
    static constexpr Eigen::Index at(OctaveBand band) {
        return static_cast<Eigen::Index>(index_of(band));
    }

    OctaveArray mean_ = OctaveArray::Zero();
    OctaveArray deviation_ = OctaveArray::Zero();
    OctaveMask present_;
};

/// The bands in which attenuation may be stated: 125 Hz to 8 kHz, and 63 Hz where there are data.
[[nodiscard]] OctaveMask permitted_attenuation_bands();

}  // namespace earbudget
