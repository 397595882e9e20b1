#pragma once

#include <cstddef>

#include "earbudget/measurement/spectrum_meter.hpp"

namespace earbudget {

/// Mean square of the noise in one bin beside a line at `bin`: on its louder side, over half of its
/// critical band, without what belongs to other lines.
[[nodiscard]] double noise_around(const PowerSpectrum& spectrum, std::size_t bin);

}  // namespace earbudget
