#pragma once

#include <cstdint>
#include <vector>

#include "uncertainty/monte_carlo_limits.hpp"

namespace earbudget {

/// The numbers of a lattice's draws, those first in which a day uses most of the limit wanted that
/// is most likely over, as far as each error by itself tells: nothing hangs on the order but how
/// soon a question may end. Empty where no limit is wanted or nothing varies.
///
/// Each variable is tried by itself, at 0 and at both sides of it; the logarithm of what is used
/// is taken as a parabola in each, and parabolas are added. That is exact for errors that all rows
/// share, near for others, and costs a multiplication or two where a draw costs an exponential a
/// row.
[[nodiscard]] std::vector<std::uint16_t> loudest_first(const DayErrors& errors,
                                                       const std::vector<ExposureLimit>& limits,
                                                       const std::vector<bool>& wanted,
                                                       const SegmentTimes& times,
                                                       const LatticeDraws& lattice);

}  // namespace earbudget
