#pragma once

#include <string>

namespace earbudget {

/// A number with so many decimals, "89.9": never "-0.0", which nobody would write.
[[nodiscard]] std::string decimal_text(double value, int decimals);

}  // namespace earbudget
