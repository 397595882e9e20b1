#pragma once

#include <cstddef>

#include "measurement/spectrum/shared_tables.hpp"

namespace earbudget {

/// sin(π/2 · sin²(π·(n + ½)/length)): its squares, overlapped by half, add up to 1 (the
/// power-complementary window of the Vorbis I specification, section 1.3.2; memory).
[[nodiscard]] SharedTables::Table power_complementary_window(std::size_t length);

/// What vector::Kernels::transform_eight needs for a power of two.
[[nodiscard]] SharedTables::Table twiddles_of_length(std::size_t length);

/// Which frequency stands at a place of its result: every step sorts by the lowest digit to base 4.
[[nodiscard]] std::size_t frequency_at(std::size_t place, std::size_t length);

}  // namespace earbudget
