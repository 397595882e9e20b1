#pragma once

#include <bitset>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"

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

inline constexpr Formula formula_of_LC{"LC = 10 lg Σ 10^((Lf + Cf)/10)",
                                       "IEC 61672-1:2013, table 3, at mid-band"};

/// What the standard uncertainty of a level is made of, each part independent (k = 1, dB).
struct UncertaintyParts {
    LevelDifference instrument{0.0};  ///< the same in all that one measurement found
    LevelDifference position{0.0};    ///< of the microphone, the same there too
    LevelDifference run{0.0};         ///< from one run to the next

    /// The root of the sum of the squares (ISO/IEC Guide 98-3, 5.1.2; clause from memory).
    [[nodiscard]] LevelDifference combined() const;
};

struct BorrowedSpectrum;

/// What is known of one sound at one place, nobody protected, averaged over one run of it.
///
/// Only LAeq is always there. Whether the members contradict each other is checked where they are
/// entered (study/sequence.hpp).
struct SoundLevels {
    LevelA LAeq;
    std::optional<LevelC> LCeq = std::nullopt;
    std::optional<PeakLevelC> LCpeak = std::nullopt;
    std::optional<PeakLevelZ> LZpeak = std::nullopt;
    OctaveLevelsZ octave = {};  ///< unweighted, possibly empty
    /// A-weighted levels in the bands as measured, for tonal sounds whose energy lies away from
    /// mid-band; possibly empty.
    OctaveLevelsA octave_A = {};
    /// Standard uncertainty (k = 1) of the levels as a whole.
    std::optional<LevelDifference> uncertainty = std::nullopt;
    /// Where they are known; their combined() is then `uncertainty`, but for rounding.
    std::optional<UncertaintyParts> uncertainty_parts = std::nullopt;

    /// Whether low frequencies are strong in it (LC − LA of 5 dB or more), as somebody heard or
    /// measured it; none: not stated.
    std::optional<bool> low_frequency = std::nullopt;
    /// Whether low_frequency = false is stated of it, but does not hold here: at a position, or
    /// beside a background.
    bool low_frequency_does_not_hold = false;
    /// Whose octave bands these are, shifted to this LAeq; null: its own, or none.
    std::shared_ptr<const BorrowedSpectrum> borrowed = nullptr;

    /// LCeq as stated, else from octave bands that hold all from 125 Hz to 8 kHz, else none: of
    /// fewer bands the sum would miss what C weighting lets through.
    [[nodiscard]] std::optional<LevelC> c_weighted_level() const;

    /// A-weighted octave-band levels: each band as measured where stated, else from `octave` at
    /// mid-band; empty when neither is there.
    [[nodiscard]] OctaveLevelsA a_weighted_octaves() const;

    /// The same sound, louder by `difference`: another position, another distance.
    [[nodiscard]] SoundLevels shifted(LevelDifference difference) const;
};

/// Octave bands taken from another sound because they were not measured.
struct BorrowedSpectrum {
    std::string card;  ///< id of the card that they were measured for
    /// All sounds with bands from 125 Hz to 8 kHz that were kept beside it: how far a reduction
    /// differs between them tells what the guess may be worth.
    std::vector<SoundLevels> others;
};

/// Limits of what a level may be before it is called a typing error: −20 to 190 dB.
/// 190 dB is a little below the largest undistorted pressure in air (peak equal to the static
/// pressure, 191 dB RMS); −20 dB is quieter than any room.
inline constexpr double lowest_level_dB = -20.0;
inline constexpr double highest_level_dB = 190.0;

/// True for a finite level within those limits.
[[nodiscard]] constexpr bool is_plausible_level(double decibels) {
    return decibels >= lowest_level_dB && decibels <= highest_level_dB;
}

}  // namespace earbudget
