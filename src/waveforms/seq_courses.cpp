#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "waveforms/seq_course.hpp"
#include "waveforms/seq_known_shapes.hpp"

namespace earbudget::waveforms {

namespace {

// Samples of a gradient's shape lie between -1 and 1, but for what rounding adds up to; own choice.
constexpr double largest_sample = 1.01;

KnownShapes asked_by(SeqParts& parts) {
    KnownShapes known;
    for (const auto& [id, gradient] : parts.gradients) {
        known.ask(gradient.shape, gradient.at.line, gradient.at.shape_column, true);
        known.ask(gradient.times, gradient.at.line, gradient.at.times_column, true);
    }
    for (const auto& [id, pulse] : parts.RF) {
        known.ask(pulse.shape, pulse.at.line, pulse.at.shape_column, false);
        known.ask(pulse.times, pulse.at.line, pulse.at.times_column, false);
    }
    return known;
}

Course course_of(const Gradient& gradient, const KnownShapes& known, const SeqParts& parts,
                 const files::OpenFile& file) {
    const SourcePosition of_shape{file.path(), gradient.at.line, gradient.at.shape_column};
    const SourcePosition of_times{file.path(), gradient.at.line, gradient.at.times_column};
    const Shape& shape = known.shapes.at(gradient.shape);
    for (const ShapePoint& point : shape.points) {
        if (std::abs(point.value) <= largest_sample) continue;
        throw InputError(of_shape,
                         fmt::format("shape {} has a sample of {:g}; accepted: from -1 to "
                                     "1 in a gradient's shape",
                                     gradient.shape, point.value));
    }
    if (gradient.times <= 0 && shape.samples * parts.gradient_raster.count() > 86'400.0)
        throw InputError(of_shape, fmt::format("shape {} lasts more than a day; accepted: at most "
                                               "a day",
                                               gradient.shape));
    if (gradient.times == 0) return sampled_course(shape, parts.gradient_raster, 0.5);
    if (gradient.times < 0) {
        if (shape.samples % 2 == 0) {
            throw InputError(of_shape, fmt::format("shape {} has {} samples at half the raster; "
                                                   "accepted: an odd number",
                                                   gradient.shape, shape.samples));
        }
        return sampled_course(shape, parts.gradient_raster / 2.0, 1.0);
    }
    auto course = timed_course(shape, known.shapes.at(gradient.times), parts.gradient_raster);
    if (!course) {
        throw InputError(of_times,
                         fmt::format("shape {} cannot be the times of shape {}; accepted: as many, "
                                     "from 0 on, each later than the one before",
                                     gradient.times, gradient.shape));
    }
    return *std::move(course);
}

void make_courses(const files::OpenFile& file, const KnownShapes& known, SeqParts& parts) {
    std::size_t points = 0;
    for (auto& [id, gradient] : parts.gradients) {
        if (gradient.shape == 0) continue;
        const auto key = std::pair(gradient.shape, gradient.times);
        auto found = parts.courses.find(key);
        if (found == parts.courses.end()) {
            found = parts.courses.emplace(key, course_of(gradient, known, parts, file)).first;
            points += found->second.points.size();
        }
        if (points > most_kept_points) {
            throw InputError({file.path(), gradient.at.line},
                             fmt::format("gradients of more than {0} values together; accepted: at "
                                         "most {0}",
                                         most_kept_points));
        }
        gradient.course = &found->second;
    }
}

}  // namespace

void read_shapes(const files::OpenFile& file, const Sections& sections, SeqParts& parts) {
    KnownShapes known = asked_by(parts);
    read_shape_section(file, sections, parts.version, known);
    make_courses(file, known, parts);
    for (auto& [id, pulse] : parts.RF) {
        const Shape& shape = known.shapes.at(pulse.shape);
        const double rasters = pulse.times > 0   ? known.shapes.at(pulse.times).last()
                               : pulse.times < 0 ? (shape.samples + 1) / 2.0
                                                 : shape.samples;
        if (rasters < 0.0 || rasters * parts.RF_raster.count() > most_microseconds * 1e-6) {
            throw InputError({file.path(), pulse.at.line, pulse.at.times_column},
                             fmt::format("shape {} lasts {:g} rasters; accepted: at most a day",
                                         pulse.times, rasters));
        }
        pulse.lasts = picoseconds_of(rasters * parts.RF_raster);
    }
}

}  // namespace earbudget::waveforms
