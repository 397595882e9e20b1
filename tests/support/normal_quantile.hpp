#pragma once

namespace earbudget::test {

/// The value that 95 % of a standard normal distribution do not exceed.
inline constexpr double z95 = 1.6448536;

}  // namespace earbudget::test
