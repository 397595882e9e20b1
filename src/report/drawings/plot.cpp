#include "report/drawings/plot.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <utility>

#include <fmt/format.h>

#include "report/html/markup.hpp"

namespace earbudget::report {

namespace {

constexpr std::array<std::string_view, 6> dashes = {"", "9 3", "2 3", "9 3 2 3", "5 2", "14 4"};

std::string ring(std::string_view look, double x, double y, double radius) {
    return fmt::format("<circle class=\"{}\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"{}\"", look, x, y,
                       radius);
}

std::string shape(Plot::Mark mark, double x, double y) {
    switch (mark) {
        case Plot::Mark::Circle:
            return ring("open", x, y, 5.0);
        case Plot::Mark::HalfDisc:
            return ring("open", x, y, 5.5);
        case Plot::Mark::Question:
            return ring("full", x, y, 6.5);
        case Plot::Mark::Disc:
            return ring("full", x, y, 3.5);
        case Plot::Mark::Diamond:
            return fmt::format(
                "<path class=\"full\" d=\"M{0:.1f} {2:.1f}L{3:.1f} {1:.1f}L{0:.1f} {4:.1f}L{5:.1f} "
                "{1:.1f}Z\"",
                x, y, y - 8.0, x + 8.0, y + 8.0, x - 8.0);
        case Plot::Mark::Square:
            return fmt::format(
                "<rect class=\"open\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"7\" height=\"7\"", x - 3.5,
                y - 3.5);
        case Plot::Mark::Tick:
            return fmt::format("<path class=\"axis\" d=\"M{0:.1f} {1:.1f}V{2:.1f}\"", x, y - 5.0,
                               y + 5.0);
    }
    return "";
}

/// What stands in a ring: its lower half, or a question mark, which is drawn since a letter so
/// small would be too small to count as one.
std::string inside(Plot::Mark mark, double x, double y) {
    if (mark == Plot::Mark::HalfDisc)
        return fmt::format(
            "<path class=\"full\" d=\"M{0:.1f} {2:.1f}A5.5 5.5 0 0 0 {1:.1f} {2:.1f}Z\"/>\n",
            x - 5.5, x + 5.5, y);
    if (mark == Plot::Mark::Question)
        return fmt::format(
            "<path class=\"hook\" d=\"M{:.1f} {:.1f}a2.1 2.1 0 1 1 3.2 1.8q-1.1 .7 -1.1 1.9m0 "
            "2.3v.2\"/>\n",
            x - 2.1, y - 1.4);
    return "";
}

/// At least the width of a letter of DejaVu Sans and of Verdana, the widest of the fonts, as part
/// of its size.
double letter_width(char letter) {
    if (std::string_view("ijlI' ").find(letter) != std::string_view::npos) return 0.43;
    if (std::string_view("frt-.:,/()").find(letter) != std::string_view::npos) return 0.46;
    if (std::string_view("mMW+%@").find(letter) != std::string_view::npos) return 1.0;
    if (letter == 'w') return 0.82;
    if (letter >= 'A' && letter <= 'Z') return 0.79;
    return 0.64;
}

}  // namespace

std::vector<double> ticks_of(double from, double to) {
    const double rough = (to - from) / 5.0;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    double step = 10.0 * power;
    for (const double factor : {5.0, 2.0, 1.0}) {
        if (factor * power >= rough * 0.999) step = factor * power;
    }
    std::vector<double> ticks;
    const double first = std::ceil(from / step - 1e-9);
    for (double n = first; n * step <= to + 1e-9 * step; ++n)
        ticks.push_back(n * step + 0.0);
    return ticks;
}

std::string data(std::string_view name, std::span<const double> values) {
    return fmt::format(" data-{}=\"{}\"", name, fmt::join(values, " "));
}

std::string data(std::string_view name, double value) {
    return fmt::format(" data-{}=\"{}\"", name, value);
}

std::string data(std::string_view name, std::string_view words) {
    return fmt::format(" data-{}=\"{}\"", name, html::escaped(words));
}

Plot::Plot(std::string id, std::string title, std::string description, Frame frame, Axis x, Axis y)
    : id_(std::move(id)),
      title_(std::move(title)),
      description_(std::move(description)),
      frame_(frame),
      x_(std::move(x)),
      y_(std::move(y)) {}

double Plot::px(double x) const {
    const double width = frame_.width - frame_.left - frame_.right;
    return frame_.left + (x - x_.from) / (x_.to - x_.from) * width;
}

double Plot::py(double y) const {
    const double height = frame_.height - frame_.top - frame_.bottom;
    return frame_.height - frame_.bottom - (y - y_.from) / (y_.to - y_.from) * height;
}

void Plot::number_x() {
    for (const double tick : ticks_of(x_.from, x_.to)) {
        stroke(px(tick), py(y_.from), px(tick), py(y_.to), "fine");
        words(px(tick), py(y_.from) + 16.0, "middle", fmt::format("{:g}", tick));
    }
    stroke(px(x_.from), py(y_.from), px(x_.to), py(y_.from), "axis");
    words(0.5 * (px(x_.from) + px(x_.to)), frame_.height - 6.0, "middle", x_.title);
}

void Plot::number_y() {
    for (const double tick : ticks_of(y_.from, y_.to)) {
        stroke(px(x_.from), py(tick), px(x_.to), py(tick), "fine");
        words(px(x_.from) - 5.0, py(tick) + 4.0, "end", fmt::format("{:g}", tick));
    }
    stroke(px(x_.from), py(y_.from), px(x_.from), py(y_.to), "axis");
    body_ += fmt::format(
        "<text class=\"t\" transform=\"translate(12 {:.1f}) rotate(-90)\" "
        "text-anchor=\"middle\">{}</text>\n",
        0.5 * (py(y_.from) + py(y_.to)), html::escaped(y_.title));
}

void Plot::line(std::span<const double> xs, std::span<const double> ys, std::size_t n,
                std::string_view attributes) {
    std::string points;
    for (std::size_t i = 0; i < xs.size(); ++i)
        points += fmt::format("{}{:.1f},{:.1f}", i == 0 ? "" : " ", px(xs[i]), py(ys[i]));
    body_ += fmt::format(
        "<polyline class=\"line\" clip-path=\"url(#{}-frame)\" stroke-dasharray=\"{}\" "
        "points=\"{}\"{}/>\n",
        id_, dashes[n % dashes.size()], points, attributes);
}

void Plot::stroke(double x1, double y1, double x2, double y2, std::string_view look,
                  std::string_view attributes) {
    body_ += fmt::format(
        "<line class=\"{}\" x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\"{}/>\n", look,
        x1, y1, x2, y2, attributes);
}

void Plot::bar(double x0, double x1, double y0, double y1, std::string_view look,
               std::string_view attributes) {
    body_ += fmt::format(
        "<rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\"{}/>\n",
        look, std::min(x0, x1), std::min(y0, y1), std::abs(x1 - x0), std::abs(y1 - y0), attributes);
}

void Plot::mark(double x, double y, Mark mark, std::string_view attributes) {
    body_ += fmt::format("{}{}/>\n{}", shape(mark, x, y), attributes, inside(mark, x, y));
}

void Plot::words(double at_x, double at_y, std::string_view anchor, std::string_view words,
                 std::string_view look) {
    body_ +=
        fmt::format("<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>\n",
                    look, at_x, at_y, anchor, html::escaped(words));
}

std::string Plot::markup() const {
    return fmt::format(
        "<svg viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" height=\"{1:.0f}\" role=\"img\" "
        "aria-labelledby=\"{2}-title {2}-words\">\n<title id=\"{2}-title\">{3}</title>\n"
        "<desc id=\"{2}-words\">{4}</desc>\n<clipPath id=\"{2}-frame\"><rect x=\"{5:.1f}\" "
        "y=\"{6:.1f}\" width=\"{7:.1f}\" height=\"{8:.1f}\"/></clipPath>\n{9}</svg>\n",
        frame_.width, frame_.height, id_, html::escaped(title_), html::escaped(description_),
        px(x_.from), py(y_.to) - 1.5, px(x_.to) - px(x_.from), py(y_.from) - py(y_.to) + 3.0,
        body_);
}

std::string fitting(std::string_view name, double room, double size) {
    double width = 0.0;
    std::size_t fits = 0;  // characters that leave room for the mark of what is cut off
    for (std::size_t n = 0; n < name.size(); ++n) {
        width += size * letter_width(name[n]);
        if (width > room) return html::shortened(name, fits);
        if (width + size <= room) fits = n + 1;
    }
    return std::string(name);
}

Axis axis_around(double lowest, double highest, double step, std::string title) {
    return {.from = step * std::floor(lowest / step),
            .to = step * std::ceil(highest / step),
            .title = std::move(title)};
}

std::vector<double> spread_apart(std::vector<double> heights, double least, double from,
                                 double to) {
    std::vector<std::size_t> order(heights.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t n) { return heights[n]; });
    double next = from;
    for (const std::size_t n : order) {
        heights[n] = std::max(heights[n], next);
        next = heights[n] + least;
    }
    double last = to;
    for (auto n = order.rbegin(); n != order.rend(); ++n) {
        heights[*n] = std::min(heights[*n], last);
        last = heights[*n] - least;
    }
    return heights;
}

}  // namespace earbudget::report
