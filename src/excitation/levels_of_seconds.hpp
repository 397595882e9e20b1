#pragma once

#include <optional>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "excitation/driven_sound.hpp"

namespace earbudget {

/// LAeq of each second of a waveform, the last over what is left of it; none for silence.
[[nodiscard]] std::vector<std::optional<LevelA>> levels_of_seconds(const DrivenSound& driven,
                                                                   const Raster& raster);

}  // namespace earbudget
