#pragma once

#include <optional>

#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/protection/octave_attenuation.hpp"

namespace earbudget {

/// Ratings of a hearing protector as stated on its label or found in a fit test, in dB.
struct Ratings {
    std::optional<LevelDifference> SNR = std::nullopt;     ///< ISO 4869-2, for 84 % of people
    std::optional<LevelDifference> H = std::nullopt;       ///< ISO 4869-2
    std::optional<LevelDifference> M = std::nullopt;       ///< ISO 4869-2
    std::optional<LevelDifference> L = std::nullopt;       ///< ISO 4869-2
    std::optional<LevelDifference> NRR = std::nullopt;     ///< 40 CFR 211.207
    std::optional<LevelDifference> NRR_SF = std::nullopt;  ///< ANSI S12.6 method B, subject fit
    std::optional<LevelDifference> SLC80 = std::nullopt;   ///< AS/NZS 1270
    std::optional<LevelDifference> PAR = std::nullopt;     ///< personal attenuation rating
};

/// H, M and L of ISO 4869-2.
struct Hml {
    LevelDifference H;
    LevelDifference M;
    LevelDifference L;
};

/// H, M and L from octave-band data (ISO 4869-2, clause 7), not rounded.
/// The data must hold all bands from 125 Hz to 8 kHz; 63 Hz is used where it is there.
[[nodiscard]] Hml compute_hml(const OctaveAttenuation& attenuation, double alpha);

/// SNR from octave-band data (ISO 4869-2, clause 8), not rounded; bands as for compute_hml.
[[nodiscard]] LevelDifference compute_snr(const OctaveAttenuation& attenuation, double alpha);

/// To the nearest whole decibel, as H, M, L and SNR are stated (ISO 4869-2, clauses 7 and 8).
[[nodiscard]] LevelDifference rounded_as_label(LevelDifference rating);

}  // namespace earbudget
