#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include <fmt/format.h>

#include "files/written_values.hpp"
#include "waveforms/seq_course.hpp"
#include "waveforms/seq_sections.hpp"
#include "waveforms/seq_shapes.hpp"

namespace earbudget::waveforms {

namespace {

// Samples of a gradient's shape lie between -1 and 1, but for what rounding adds up to; own choice.
constexpr double largest_sample = 1.01;
constexpr std::string_view a_shape = "shape_id, num_samples, then one value a line";

/// Where a shape is asked for first, and what of it.
struct Asked {
    unsigned line, column;
    bool as_course = false;
};

/// The shapes of a file as far as they are asked for.
struct KnownShapes {
    std::map<std::int64_t, Asked> asked = {};
    std::map<std::int64_t, Shape> shapes = {};
    std::size_t points = 0;

    void ask(std::int64_t id, unsigned line, unsigned column, bool as_course) {
        if (id <= 0) return;
        Asked& one = asked.try_emplace(id, Asked{line, column}).first->second;
        one.as_course |= as_course;
    }
};

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

/// Goes through the section line by line.
class ShapeReader {
  public:
    ShapeReader(const SeqVersion& version, KnownShapes& known) : version_(version), known_(known) {}

    void take(const TextLines& lines) {
        Words words(lines, a_shape);
        const std::string_view word = words.word("a value");
        const std::string key = files::in_small_letters(word);
        if (key == "shape_id") {
            finish();
            begin(words, lines);
        } else if (key == "num_samples" || key == "num_uncompressed") {
            if (!id_ || samples_) words.refuse("num_samples outside of a shape", a_shape);
            samples_ = static_cast<std::uint32_t>(
                words.whole("the number of samples", 1, static_cast<std::int64_t>(most_samples)));
        } else {
            add(word, words);
        }
        words.end();
    }

    /// A blank line ends a shape whose values have begun.
    void take_blank() {
        if (!stored_.empty()) finish();
    }

    void finish() {
        if (!id_) return;
        if (!samples_)
            throw InputError(place_,
                             fmt::format("a shape without num_samples; accepted: {}", a_shape));
        Shape shape = shape_of(stored_, *samples_, version_.states_durations, place_);
        stored_.clear();
        const auto asked = known_.asked.find(*id_);
        if (asked != known_.asked.end()) keep(std::move(shape), asked->second);
        id_.reset();
        samples_.reset();
    }

  private:
    void begin(Words& words, const TextLines& lines) {
        id_ = words.whole("the shape's id", 1, highest_id);
        place_ = lines.at();
        if (known_.shapes.contains(*id_)) {
            words.refuse(fmt::format("two shapes have the id {}", *id_),
                         "an id of its own for each");
        }
    }

    void add(std::string_view word, Words& words) {
        if (!samples_) {
            words.refuse(fmt::format("\"{}\" where no shape has begun", shown(word)), a_shape);
        }
        const auto value = finite_number(word);
        if (!value || std::abs(*value) > 1e12) {
            words.refuse(fmt::format("a value of a shape is \"{}\"", shown(word)),
                         "a finite number, at most 1e12");
        }
        if (stored_.size() == most_shape_values) {
            words.refuse(fmt::format("a shape of more than {} stored values", most_shape_values),
                         "at most that");
        }
        stored_.push_back(*value);
    }

    /// What is not asked for as a course is kept as its last sample.
    void keep(Shape shape, const Asked& asked) {
        if (!asked.as_course) shape.points = {shape.points.back()};
        known_.points += shape.points.size();
        if (known_.points > most_kept_points) {
            throw InputError(place_, fmt::format("shapes of gradients of more than {0} values "
                                                 "together; accepted: at most {0}",
                                                 most_kept_points));
        }
        shape.points.shrink_to_fit();
        known_.shapes.emplace(*id_, std::move(shape));
    }

    const SeqVersion& version_;
    KnownShapes& known_;
    std::optional<std::int64_t> id_;
    std::optional<std::uint32_t> samples_;
    std::vector<double> stored_;
    SourcePosition place_;
};

void read_section(const files::OpenFile& file, const Sections& sections, const SeqVersion& version,
                  KnownShapes& known) {
    const auto found = sections.behind.find("SHAPES");
    if (found != sections.behind.end()) {
        TextLines lines(file, found->second);
        ShapeReader reader(version, known);
        if (!lines.next()) return;  // the rest of the heading's line
        while (lines.next() && !is_heading(lines.text())) {
            if (is_empty_line(lines.text())) {
                reader.take_blank();
            } else if (!says_nothing(lines.text())) {
                reader.take(lines);
            }
        }
        reader.finish();
    }
    for (const auto& [id, asked] : known.asked) {
        if (known.shapes.contains(id)) continue;
        throw InputError({file.path(), asked.line, asked.column},
                         fmt::format("shape {} is not in the file; accepted: the id of a shape in "
                                     "[SHAPES]",
                                     id));
    }
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
    read_section(file, sections, parts.version, known);
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
