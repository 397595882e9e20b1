#pragma once

#include <optional>
#include <vector>

#include "earbudget/measurement/tones.hpp"

namespace earbudget {

/// Numbers the tones of the series that explains most of them, and tells its fundamental. A series
/// has three tones or more, its fundamental among them; a tone belongs to it when it lies within
/// `tolerance` of a multiple.
[[nodiscard]] std::optional<Frequency> number_harmonics(std::vector<Tone>& tones,
                                                        Frequency tolerance);

}  // namespace earbudget
