#include "report/html/plot.hpp"

#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "report/html/markup.hpp"

namespace earbudget::report::html {

namespace {

std::string stroke_of(Plot::Look look) {
    switch (look) {
        case Plot::Look::Solid:
            return R"(stroke="#0a5c5c" stroke-width="2.5")";
        case Plot::Look::Dashed:
            return R"(stroke="#8f2416" stroke-width="2.5" stroke-dasharray="10 5")";
        case Plot::Look::Dotted:
            return R"(stroke="#4a3f6b" stroke-width="2.5" stroke-dasharray="2 4")";
        case Plot::Look::Fine:
            return R"(stroke="#d5dae0" stroke-width="1")";
        case Plot::Look::Heavy:
            return R"(stroke="#1c2530" stroke-width="2")";
    }
    return "";
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
    for (double tick = std::ceil(from / step - 1e-9) * step; tick <= to + 1e-9 * step; tick += step)
        ticks.push_back(std::abs(tick) < 1e-9 * step ? 0.0 : tick);
    return ticks;
}

Plot::Plot(std::string id, std::string title, std::string description, double width, double height,
           double left, double bottom)
    : id_(std::move(id)),
      title_(std::move(title)),
      description_(std::move(description)),
      width_(width),
      height_(height),
      left_(left),
      right_(width - 20.0),
      top_(20.0),
      bottom_(height - bottom) {}

void Plot::set_x(Axis axis) { x_ = std::move(axis); }
void Plot::set_y(Axis axis) { y_ = std::move(axis); }

double Plot::px(double x) const { return left_ + (x - x_.from) / (x_.to - x_.from) * (right_ - left_); }
double Plot::py(double y) const { return bottom_ - (y - y_.from) / (y_.to - y_.from) * (bottom_ - top_); }

void Plot::number_x() {
    for (const double tick : ticks_of(x_.from, x_.to)) {
        vertical(tick, Look::Fine);
        label(tick, y_.from, 0.0, 18.0, "middle", fmt::format("{:g}", tick));
    }
    horizontal(y_.from, Look::Heavy);
    words(0.5 * (left_ + right_), bottom_ + 36.0, "middle", x_.title);
}

void Plot::number_y() {
    for (const double tick : ticks_of(y_.from, y_.to)) {
        horizontal(tick, Look::Fine);
        label(x_.from, tick, -8.0, 4.0, "end", fmt::format("{:g}", tick));
    }
    vertical(x_.from, Look::Heavy);
    body_ += fmt::format(
        "<text transform=\"translate(14 {:.1f}) rotate(-90)\" text-anchor=\"middle\" "
        "font-size=\"13\">{}</text>\n",
        0.5 * (top_ + bottom_), escaped(y_.title));
}

void Plot::line(const std::vector<double>& xs, const std::vector<double>& ys, Look look) {
    std::string points;
    for (std::size_t i = 0; i < xs.size(); ++i)
        points += fmt::format("{:.2f},{:.2f} ", px(xs[i]), py(ys[i]));
    body_ += fmt::format("<polyline points=\"{}\" fill=\"none\" {}/>\n", points, stroke_of(look));
}

void Plot::horizontal(double y, Look look) {
    body_ += fmt::format("<line x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\" {}/>\n",
                         left_, py(y), right_, py(y), stroke_of(look));
}

void Plot::vertical(double x, Look look) {
    body_ += fmt::format("<line x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\" {}/>\n",
                         px(x), top_, px(x), bottom_, stroke_of(look));
}

void Plot::bar(double x0, double x1, double y0, double y1, bool hatched) {
    body_ += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\" "
        "stroke=\"#1c2530\" stroke-width=\"1\"/>\n",
        px(x0), py(y1), px(x1) - px(x0), py(y0) - py(y1),
        hatched ? "url(#" + id_ + "-hatch)" : std::string("#0a5c5c"));
}

void Plot::dot(double x, double y, bool filled) {
    body_ += fmt::format(
        "<circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"6\" fill=\"{}\" stroke=\"#1c2530\" "
        "stroke-width=\"2\"/>\n",
        px(x), py(y), filled ? "#1c2530" : "#ffffff");
}

void Plot::label(double x, double y, double dx, double dy, std::string_view anchor,
                 std::string_view text) {
    words(px(x) + dx, py(y) + dy, anchor, text);
}

void Plot::words(double at_x, double at_y, std::string_view anchor, std::string_view text) {
    body_ += fmt::format(
        "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\" font-size=\"13\">{}</text>\n", at_x,
        at_y, anchor, escaped(text));
}

std::string Plot::markup() const {
    return fmt::format(
        "<svg viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" height=\"{1:.0f}\" role=\"img\" "
        "aria-labelledby=\"{2}-title {2}-words\">\n<title id=\"{2}-title\">{3}</title>\n"
        "<desc id=\"{2}-words\">{4}</desc>\n<defs><pattern id=\"{2}-hatch\" width=\"6\" "
        "height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect "
        "width=\"6\" height=\"6\" fill=\"#ffffff\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\" "
        "stroke=\"#1c2530\" stroke-width=\"2\"/></pattern></defs>\n{5}</svg>\n",
        width_, height_, id_, escaped(title_), escaped(description_), body_);
}

}  // namespace earbudget::report::html
