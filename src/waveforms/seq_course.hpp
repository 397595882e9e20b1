#pragma once

#include <optional>

#include "waveforms/seq_parts.hpp"
#include "waveforms/seq_shapes.hpp"

namespace earbudget::waveforms {

/// How a gradient runs whose samples lie `step` apart, the first at `begin` of them: 0.5 for the
/// centres of a raster, 1 for half a raster. It begins and ends a further `begin` away.
[[nodiscard]] Course sampled_course(const Shape& shape, Seconds step, double begin);

/// How a gradient runs whose samples have times of their own, in units of the raster. None where
/// these are not as many, begin before 0, do not grow or last longer than a day.
[[nodiscard]] std::optional<Course> timed_course(const Shape& shape, const Shape& times,
                                                 Seconds raster);

}  // namespace earbudget::waveforms
