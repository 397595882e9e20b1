#pragma once

#include <string>
#include <vector>

#include "earbudget/acoustics/sound_levels.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The range of every level in a file.
inline constexpr NumberRange level_range{lowest_level_dB, highest_level_dB, "dB"};

/// The keys of [levels] and of [background].
inline const std::vector<std::string> level_keys = {
    "LAeq", "LCeq", "LCpeak", "LZpeak", "uncertainty", "uncertainty_parts", "octave", "octave_A"};

/// Reads those keys; at least LAeq or octave. Levels that contradict each other
/// (study/level_checks.hpp) are a mistake too.
[[nodiscard]] SoundLevels read_levels(TableReader& table);

}  // namespace earbudget::files
