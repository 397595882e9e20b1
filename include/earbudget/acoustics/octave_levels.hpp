#pragma once

#include <bitset>
#include <optional>

#include <Eigen/Core>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/octave_band.hpp"

namespace earbudget {

/// One value a band, the band known by its position.
using OctaveArray = Eigen::Array<double, static_cast<int>(octave_band_count), 1>;

/// Which bands hold a value.
using OctaveMask = std::bitset<octave_band_count>;

/// The bands from 125 Hz to 8 kHz, which every prediction at the ear starts from (ISO 4869-2).
[[nodiscard]] OctaveMask bands_from_125_Hz();

/// Whether none of them is missing.
[[nodiscard]] bool hold_all_from_125_Hz(OctaveMask bands);

/// Octave-band levels of one sound; a band may be missing.
template <quantity::MeanSquare Quantity>
class OctaveLevels {
  public:
    using BandLevel = Level<Quantity>;

    void set(OctaveBand band, BandLevel level) {
        decibels_[static_cast<Eigen::Index>(index_of(band))] = level.dB();
        present_.set(index_of(band));
    }

    [[nodiscard]] bool has(OctaveBand band) const { return present_.test(index_of(band)); }

    [[nodiscard]] std::optional<BandLevel> at(OctaveBand band) const {
        if (!has(band)) return std::nullopt;
        return BandLevel(decibels_[static_cast<Eigen::Index>(index_of(band))]);
    }

    [[nodiscard]] bool empty() const { return present_.none(); }
    [[nodiscard]] OctaveMask bands() const { return present_; }

    /// The same sound, louder by `difference` in every band.
    [[nodiscard]] OctaveLevels shifted(LevelDifference difference) const {
        OctaveLevels result = *this;
        result.decibels_ += difference.dB();
        return result;
    }

    /// The level of all bands together; none when empty.
    [[nodiscard]] std::optional<BandLevel> sum() const {
        double energy = 0.0;
        for (const OctaveBand band : octave_bands) {
            if (const auto level = at(band)) energy += relative_energy(*level);
        }
        return level_of_relative_energy<Quantity>(energy);
    }

  private:
    OctaveArray decibels_ = OctaveArray::Zero();  // meaningless where no level is present
    OctaveMask present_;
};

/// Unweighted octave-band levels, as a sequence card states them.
using OctaveLevelsZ = OctaveLevels<quantity::Unweighted>;

/// A-weighted octave-band levels.
using OctaveLevelsA = OctaveLevels<quantity::AWeighted>;

/// C-weighted octave-band levels.
using OctaveLevelsC = OctaveLevels<quantity::CWeighted>;

/// A weighting at mid-band added to each band: Lf + Af of ISO 4869-2, clause 6.
[[nodiscard]] OctaveLevelsA a_weighted(const OctaveLevelsZ& levels);

/// C weighting at mid-band added to each band.
[[nodiscard]] OctaveLevelsC c_weighted(const OctaveLevelsZ& levels);

}  // namespace earbudget
