#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "files/written_values.hpp"
#include "waveforms/seq_known_shapes.hpp"

namespace earbudget::waveforms {

namespace {

constexpr std::string_view a_shape = "shape_id, num_samples, then one value a line";

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
    void keep(Shape shape, const AskedShape& asked) {
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

}  // namespace

void read_shape_section(const files::OpenFile& file, const Sections& sections,
                        const SeqVersion& version, KnownShapes& known) {
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

}  // namespace earbudget::waveforms
