#include "waveforms/seq_course.hpp"

#include <algorithm>

namespace earbudget::waveforms {

namespace {

/// The value of a sample; `hint` goes on from call to call, since indices grow.
double value_at(const Shape& shape, std::uint32_t index, std::size_t& hint) {
    while (shape.points[hint].index < index)
        ++hint;
    const ShapePoint& after = shape.points[hint];
    if (after.index == index || hint == 0) return after.value;
    const ShapePoint& before = shape.points[hint - 1];
    const double part = double(index - before.index) / double(after.index - before.index);
    return before.value + part * (after.value - before.value);
}

}  // namespace

Course sampled_course(const Shape& shape, Seconds step, double begin) {
    Course course;
    course.points.reserve(shape.points.size());
    for (const ShapePoint& point : shape.points)
        course.points.push_back({picoseconds_of((point.index + begin) * step), point.value});
    course.lasts = picoseconds_of((shape.samples - 1 + 2 * begin) * step);
    return course;
}

std::optional<Course> timed_course(const Shape& shape, const Shape& times, Seconds raster) {
    if (shape.samples != times.samples || times.first() < 0.0) return std::nullopt;
    if (times.last() * raster.count() > most_microseconds * 1e-6) return std::nullopt;
    Course course;
    std::size_t of_shape = 0, of_times = 0;
    std::size_t value_hint = 0, time_hint = 0;
    while (of_shape < shape.points.size() || of_times < times.points.size()) {
        const std::uint32_t index =
            of_shape == shape.points.size() ? times.points[of_times].index
            : of_times == times.points.size()
                ? shape.points[of_shape].index
                : std::min(shape.points[of_shape].index, times.points[of_times].index);
        of_shape += of_shape < shape.points.size() && shape.points[of_shape].index == index;
        of_times += of_times < times.points.size() && times.points[of_times].index == index;
        const Picoseconds at = picoseconds_of(value_at(times, index, time_hint) * raster);
        if (!course.points.empty() && at <= course.points.back().at) return std::nullopt;
        course.points.push_back({at, value_at(shape, index, value_hint)});
    }
    course.lasts = course.points.back().at;
    return course;
}

}  // namespace earbudget::waveforms
