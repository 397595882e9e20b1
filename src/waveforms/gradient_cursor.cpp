#include "waveforms/gradient_cursor.hpp"

#include <algorithm>

namespace earbudget::waveforms {

namespace {

/// The value at a time on the line through two points.
double on_line(const CoursePoint& a, const CoursePoint& b, Picoseconds time) {
    const double part =
        static_cast<double>((time - a.at).count()) / static_cast<double>((b.at - a.at).count());
    return a.value + part * (b.value - a.value);
}

/// The value at an end of a course that states none: on the line through the nearest two points
/// (own choice).
double extrapolated(const Course& course, bool at_begin) {
    const auto& points = course.points;
    const Picoseconds time = at_begin ? Picoseconds(0) : course.lasts;
    if (points.size() == 1) return points.front().value;
    return at_begin ? on_line(points[0], points[1], time)
                    : on_line(points[points.size() - 2], points.back(), time);
}

}  // namespace

void GradientCursor::begin(const Gradient* gradient, Picoseconds block) {
    gradient_ = gradient;
    block_ = block;
    has_first_ = false;
    in_event_ = gradient ? 4 : 0;
    if (gradient && gradient->course) {
        const Course& course = *gradient->course;
        const bool knows_ends = gradient->ends || gradient->times <= 0;
        has_first_ = knows_ends && course.points.front().at.count() > 0;
        const bool has_last = knows_ends && course.points.back().at < course.lasts;
        in_event_ = course.points.size() + (has_first_ ? 1 : 0) + (has_last ? 1 : 0);
    }
    from_ = point(0);
    to_ = from_;
    next_ = 1;
    go_to(Picoseconds(0));
}

// Zero from the block's beginning to the gradient's, its own points, zero to the block's end.
std::size_t GradientCursor::points() const { return gradient_ ? in_event_ + 4 : 2; }

CoursePoint GradientCursor::point(std::size_t index) const {
    if (index == 0) return {Picoseconds(0), 0.0};
    if (index + 1 >= points()) return {block_, 0.0};
    CoursePoint point{gradient_->delay, 0.0};
    if (index > 1 && index < in_event_ + 2) {
        point = point_of_event(index - 2);
        point.at += gradient_->delay;
    } else if (index > 1) {
        point.at = gradient_->ends_after();
    }
    point.at = std::min(point.at, block_);  // what rounding added
    return point;
}

CoursePoint GradientCursor::point_of_event(std::size_t index) const {
    const Gradient& gradient = *gradient_;
    if (!gradient.course) {
        const std::array<CoursePoint, 4> trapezoid = {
            {{Picoseconds(0), 0.0},
             {gradient.rise, gradient.amplitude},
             {gradient.rise + gradient.flat, gradient.amplitude},
             {gradient.rise + gradient.flat + gradient.fall, 0.0}}};
        return trapezoid[index];
    }
    const Course& course = *gradient.course;
    if (has_first_ && index == 0) {
        return {Picoseconds(0), gradient.ends ? (*gradient.ends)[0]
                                              : gradient.amplitude * extrapolated(course, true)};
    }
    const std::size_t of_course = index - (has_first_ ? 1 : 0);
    if (of_course == course.points.size()) {
        return {course.lasts, gradient.ends ? (*gradient.ends)[1]
                                            : gradient.amplitude * extrapolated(course, false)};
    }
    const CoursePoint& point = course.points[of_course];
    return {point.at, gradient.amplitude * point.value};
}

double GradientCursor::value_at(Picoseconds time) const {
    if (time == from_.at) return from_.value;
    if (time == to_.at) return to_.value;
    return on_line(from_, to_, time);
}

void GradientCursor::go_to(Picoseconds time) {
    while (to_.at <= time && next_ < points()) {
        from_ = to_;
        to_ = point(next_++);
    }
}

}  // namespace earbudget::waveforms
