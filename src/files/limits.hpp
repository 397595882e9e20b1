#pragma once

#include <cstddef>

namespace earbudget::files {

// How much a file may hold. Each is far more than a facility has, and so little that a file made by
// accident or in bad faith is refused at once and not computed for hours. Own choices.

inline constexpr std::size_t largest_card = std::size_t{256} << 10U;  ///< bytes, in a folder
/// In the folders that a file names, each as often as it is named.
inline constexpr std::size_t most_cards_at_positions = 5'000;
inline constexpr std::size_t largest_text_file = std::size_t{4} << 20U;  ///< bytes
/// Keys, values and parts of dotted keys of one file: each takes up to 400 bytes of memory.
inline constexpr std::size_t most_values_of_a_file = 800'000;
inline constexpr std::size_t most_timeline_rows = 2'000;
/// People with their tasks, times the rows that each of them hears.
inline constexpr std::size_t most_exposure_rows = 20'000;
inline constexpr std::size_t most_people = 2'000;
inline constexpr std::size_t most_tasks = 200;  ///< of one person
inline constexpr std::size_t most_positions = 200;
inline constexpr std::size_t most_own_criteria = 100;
inline constexpr std::size_t most_cards = 1'000;  ///< in one folder
inline constexpr std::size_t most_protectors = 200;
inline constexpr std::size_t most_pairs = 10'000;
inline constexpr std::size_t most_values = 1'000;    ///< texts or numbers of one array
inline constexpr std::size_t longest_text = 10'000;  ///< bytes
inline constexpr std::size_t most_channels = 64;     ///< of a recording: some 4 MB each at 48 kHz

}  // namespace earbudget::files
