#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/sound_levels.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The range of every level in a file.
inline constexpr NumberRange level_range{lowest_level_dB, highest_level_dB, "dB"};

/// The keys of [levels] and of [background].
inline const std::vector<std::string> level_keys = {"LAeq",   "LCeq",        "LCpeak",
                                                    "LZpeak", "uncertainty", "uncertainty_parts",
                                                    "octave", "octave_A",    "low_frequency"};

/// The keys of a table of octave bands: "31.5" to "16000".
[[nodiscard]] std::vector<std::string> band_names();

/// Reads those keys; at least LAeq or octave, or an LAeq that was made of samples. Levels that
/// contradict each other (study/level_checks.hpp) are a mistake too.
[[nodiscard]] SoundLevels read_levels(TableReader& table,
                                      std::optional<LevelA> LAeq_of_samples = std::nullopt);

}  // namespace earbudget::files
