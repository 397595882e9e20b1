#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

/// What came before a recording, if the recording repeats itself: `length` samples that precede the
/// first 50 ms where these recur in `start`, or the first 5 ms where they recur soon after. None
/// where nothing recurs as closely as `greatest_mismatch`, the squared difference relative to that
/// of unrelated sounds. `start` is up to a second long and has no mean.
[[nodiscard]] std::optional<std::vector<float>> recurring_preroll(std::span<const float> start,
                                                                  Frequency sample_rate,
                                                                  std::size_t length,
                                                                  double greatest_mismatch);

/// What a weighting filter should have heard before a recording began: 0.2 s of samples.
///
/// A recording that starts in the middle of a low tone looks like a step, and a step has a
/// C-weighted peak up to 3 dB above a 31.5 Hz tone's own, and far more below. What came before is
/// unknown; likely is a recurring past, else, where sound goes on, its first value held, else
/// stillness, as before a single burst.
[[nodiscard]] std::vector<float> filter_preroll(std::span<const float> start,
                                                Frequency sample_rate);

}  // namespace earbudget
