#pragma once

#include <optional>

#include "earbudget/acoustics/level_difference.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget::files {

// What is known of the samples of a recording by their encoding, as libsndfile names it in
// SF_INFO::format.

/// The largest value and the step of samples that are whole numbers; none for others.
[[nodiscard]] std::optional<Quantization> quantization_of(int format);

/// How far a level may be off by what the encoding drops; none for what gives back what was
/// written, to its own rounding. What is not known is taken to lose as much as the worst; A-law and
/// µ-law cost faint bands as much as others do.
[[nodiscard]] std::optional<LevelDifference> loss_of(int format);

/// Bytes of one sample in a file; 0 where they are not all of one size.
[[nodiscard]] unsigned bytes_of_sample(int format);

}  // namespace earbudget::files
