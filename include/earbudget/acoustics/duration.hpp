#pragma once

#include <chrono>

namespace earbudget {

/// A length of time in seconds, with fractions.
using Seconds = std::chrono::duration<double>;

/// A length of time in hours, with fractions.
using Hours = std::chrono::duration<double, std::ratio<3600>>;

}  // namespace earbudget
