#pragma once

#include "earbudget/acoustics/sound_levels.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The range of every level in a file.
inline constexpr NumberRange level_range{lowest_level_dB, highest_level_dB, "dB"};

/// Reads the keys of [levels] or [background]: LAeq, LCeq, LCpeak, LZpeak, uncertainty, octave,
/// octave_A; at least LAeq or octave. Finishes the table. Throws InputError, also for levels that
/// contradict each other (study/sequence.hpp).
[[nodiscard]] SoundLevels read_levels(TableReader& table);

}  // namespace earbudget::files
