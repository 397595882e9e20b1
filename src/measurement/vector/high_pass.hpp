#pragma once

#include "measurement/vector/kernels.hpp"

namespace earbudget::vector {

/// How many samples a high-pass section looks back.
inline constexpr int high_pass_reach = 8;

/// A section with a real pole, silent so far.
[[nodiscard]] HighPass high_pass_with_pole(double pole);

}  // namespace earbudget::vector
