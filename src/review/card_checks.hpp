#pragma once

#include "earbudget/review/review_checks.hpp"

namespace earbudget {

// Published measurements of scanners; abstracts seen.
inline constexpr LevelA lowest_published{82.5};    // Price and others, 2001
inline constexpr LevelA highest_published{132.0};  // J Magn Reson Imaging 2000, 12:157

/// Where the levels of a card come from: how, who, when, where, with what, in what.
void check_origin(const Sequence& sequence, std::vector<ReviewCheck>& checks);

/// How good the measurement is: calibration, length, background, recording, uncertainty, timing.
void check_measurement(const Sequence& sequence, std::vector<ReviewCheck>& checks);

/// The levels by themselves.
void check_levels(const SoundLevels& levels, std::vector<ReviewCheck>& checks);

}  // namespace earbudget
