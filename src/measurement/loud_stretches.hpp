#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "earbudget/acoustics/duration.hpp"

namespace earbudget {

/// Steps from `first` to before `end`.
struct Stretch {
    std::size_t first;
    std::size_t end;
};

/// Where levels of steps, in dB, stay well above what lies near the quietest of them; the rule is
/// told at find_sequence_runs.
[[nodiscard]] std::vector<Stretch> loud_stretches(std::span<const double> levels, Seconds step);

}  // namespace earbudget
