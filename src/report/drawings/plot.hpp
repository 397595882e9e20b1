#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/measuring/measure.hpp"
#include "report/document.hpp"

namespace earbudget::report {

/// A range of values along one axis, with its title and unit.
struct Axis {
    double from = 0.0;
    double to = 1.0;
    std::string title = {};
};

/// An axis in whole steps around some values.
[[nodiscard]] Axis axis_around(double lowest, double highest, double step, std::string title);

/// Round steps of 1, 2 or 5 times a power of ten that divide an axis into some five parts.
[[nodiscard]] std::vector<double> ticks_of(double from, double to);

/// An attribute data-NAME with values as JSON prints them, for whoever reads a chart back.
[[nodiscard]] std::string data(std::string_view name, std::span<const double> values);
[[nodiscard]] std::string data(std::string_view name, double value);
[[nodiscard]] std::string data(std::string_view name, std::string_view words);

/// As wide as a phone shows it and letters that are then no smaller than 12 pixels there; larger
/// screens and paper enlarge both.
inline constexpr double drawing_width = 330.0;
inline constexpr double letter_size = 12.0;

/// How large a drawing is and what is kept free around its coordinate system, in pixels.
struct Frame {
    double width = drawing_width;
    double height = 230.0;
    double left = 46.0;
    double right = 12.0;
    double top = 14.0;
    double bottom = 42.0;
};

/// A drawing in one coordinate system, as inline SVG: ink on paper, lines told apart by their
/// dashes and by words beside them, marks by their shape. What data an element stands for goes with
/// it as attributes (`data`); the rest is layout.
class Plot {
  public:
    /// HalfDisc and Question have more in their circle; what they stand for goes with that.
    enum class Mark { Circle, HalfDisc, Question, Diamond, Disc, Square, Tick };

    /// `id` is unique on the page; title and description are its text equivalent.
    Plot(std::string id, std::string title, std::string description, Frame frame, Axis x, Axis y);

    [[nodiscard]] double px(double x) const;
    [[nodiscard]] double py(double y) const;
    [[nodiscard]] const Frame& frame() const { return frame_; }

    /// Numbers and fine lines along the axis, and its title.
    void number_x();
    void number_y();

    /// A line through points; `n` chooses its dashes. What leaves the frame is cut off.
    void line(std::span<const double> xs, std::span<const double> ys, std::size_t n,
              std::string_view attributes);
    /// A straight stroke between two points, in pixels; `look` is a class of the style sheet.
    void stroke(double x1, double y1, double x2, double y2, std::string_view look,
                std::string_view attributes = {});
    void bar(double x0, double x1, double y0, double y1, std::string_view look,
             std::string_view attributes = {});
    void mark(double x, double y, Mark mark, std::string_view attributes = {});
    /// Words in pixels from the corner; anchor "start", "middle" or "end".
    void words(double at_x, double at_y, std::string_view anchor, std::string_view words,
               std::string_view look = "t");

    [[nodiscard]] std::string markup() const;

  private:
    std::string id_, title_, description_;
    Frame frame_;
    Axis x_, y_;
    std::string body_;
};

/// A name cut, with "…" at its end, so that it fits so many units of a drawing, whichever letters
/// it has, in the fonts of the style sheet.
[[nodiscard]] std::string fitting(std::string_view name, double room, double size = letter_size);

/// Heights moved apart so that words of this size do not cover each other, between two bounds; in
/// the order given.
[[nodiscard]] std::vector<double> spread_apart(std::vector<double> heights, double least,
                                               double from, double to);

// Drawings with captions and numbers. `id` is unique in the document. None where there is nothing
// to draw. The numbers are those of the result; see data-… of each element.

/// What a person's day uses of each limit as it goes on, and when one is reached.
[[nodiscard]] std::vector<Drawing> allowance_figure(const std::string& id, const Plan& plan,
                                                    const PersonResult& person);

/// The sequence with the largest share in octave bands, outside and at the ear.
[[nodiscard]] std::vector<Drawing> spectrum_figure(const std::string& id, const Plan& plan,
                                                   const PersonResult& person);

/// What each sequence has of the sound energy at the ear.
[[nodiscard]] std::vector<Drawing> share_figure(const std::string& id, const Plan& plan,
                                                const PersonResult& person);

/// Everyone's margin to each limit, with its uncertainty; several drawings for many people.
[[nodiscard]] std::vector<Drawing> margin_figures(const std::string& id,
                                                  const Assessment& assessment);

/// What every method says of each thing that could be worn.
[[nodiscard]] std::vector<Drawing> spread_figure(const std::string& id, const Plan& plan,
                                                 const PersonChoice& choice);

/// LAeq of each second of a channel; `from` is where in its file the recording begins.
[[nodiscard]] std::vector<Drawing> history_figure(const std::string& id, std::string_view name,
                                                  const MeasuredChannel& channel, Seconds from);

}  // namespace earbudget::report
