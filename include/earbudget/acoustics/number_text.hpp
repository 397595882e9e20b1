#pragma once

#include <string>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// A number with so many decimals, "89.9": never "-0.0", which nobody would write.
[[nodiscard]] std::string decimal_text(double value, int decimals);

/// A non-negative time as people write it: "45.5 s", "8 min", "1 h 10 min 5 s". From a minute on
/// rounded down to whole seconds, below to tenths, below a second to milliseconds, so that a
/// longest time printed is never longer.
[[nodiscard]] std::string text_of(Seconds time);

}  // namespace earbudget
