#pragma once

#include "earbudget/measuring/measure.hpp"

namespace earbudget {

/// How a channel's calibration, background correction and uncertainty came about, from what the
/// channel carries.
[[nodiscard]] Working working_of(const MeasuredChannel& channel);

}  // namespace earbudget
