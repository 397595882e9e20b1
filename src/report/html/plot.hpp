#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace earbudget::report::html {

/// A range of values along one axis, in the unit of its title.
struct Axis {
    double from = 0.0;
    double to = 1.0;
    std::string title;
};

/// Round steps of 1, 2 or 5 times a power of ten that divide an axis into some five parts.
[[nodiscard]] std::vector<double> ticks_of(double from, double to);

/// A drawing in one coordinate system with axes, as inline SVG. Lines differ in their dashes and bars
/// in their filling, so that nothing hangs on colour; every drawing says in words what it shows.
class Plot {
  public:
    enum class Look { Solid, Dashed, Dotted, Fine, Heavy };

    /// `id` must be unique on the page; `title` and `description` are its text equivalent.
    Plot(std::string id, std::string title, std::string description, double width, double height,
         double left, double bottom);

    void set_x(Axis axis);
    void set_y(Axis axis);
    /// Numbers and lines along x; along y.
    void number_x();
    void number_y();

    void line(const std::vector<double>& xs, const std::vector<double>& ys, Look look);
    void horizontal(double y, Look look);
    void vertical(double x, Look look);
    /// From x0 to x1 and y0 to y1; hatched or filled.
    void bar(double x0, double x1, double y0, double y1, bool hatched);
    void dot(double x, double y, bool filled);
    /// Text at a place of the coordinate system, moved by pixels; anchor "start", "middle", "end".
    void label(double x, double y, double dx, double dy, std::string_view anchor,
               std::string_view words);
    /// Text in pixels from the drawing's corner.
    void words(double px, double py, std::string_view anchor, std::string_view words);

    [[nodiscard]] double height() const { return height_; }
    [[nodiscard]] std::string markup() const;

  private:
    [[nodiscard]] double px(double x) const;
    [[nodiscard]] double py(double y) const;

    std::string id_, title_, description_;
    double width_, height_, left_, right_, top_, bottom_;
    Axis x_, y_;
    std::string body_;
};

}  // namespace earbudget::report::html
