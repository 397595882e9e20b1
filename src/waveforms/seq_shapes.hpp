#pragma once

#include <cstdint>
#include <vector>

#include "waveforms/text_lines.hpp"

namespace earbudget::waveforms {

/// A sample of a shape at which its straight line bends or may bend; between two of them every
/// sample lies on the line.
struct ShapePoint {
    std::uint32_t index;  ///< of the sample, from 0
    double value;
};

/// A shape as points, so that a compressed one of any length takes no more than what is stored.
struct Shape {
    std::uint32_t samples = 0;
    std::vector<ShapePoint> points;  ///< the first and the last sample are among them

    [[nodiscard]] double first() const { return points.front().value; }
    [[nodiscard]] double last() const { return points.back().value; }
};

/// The points of a shape from what is stored of it (the format's specification 1.5.3,
/// "Compression"): differences, of which two alike are followed by how many more there are.
/// `may_be_plain`: as many values as samples are the samples themselves (from version 1.4.0 on).
/// Throws InputError at `place` where they are not `samples` samples.
[[nodiscard]] Shape shape_of(const std::vector<double>& stored, std::uint32_t samples,
                             bool may_be_plain, const SourcePosition& place);

}  // namespace earbudget::waveforms
