#pragma once

#include "earbudget/acoustics/sound_levels.hpp"

namespace earbudget {

/// Whether SoundLevels::c_weighted_level() is there, without summing it.
[[nodiscard]] bool knows_c_weighted_level(const SoundLevels& sound);

/// The bands of SoundLevels::a_weighted_octaves().
[[nodiscard]] OctaveMask a_weighted_bands(const SoundLevels& sound);

}  // namespace earbudget
