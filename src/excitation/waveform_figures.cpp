#include "earbudget/excitation/waveform_figures.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget {

namespace {

void take_jump(WaveformFigures& figures, std::size_t axis, double jump, Seconds at) {
    if (jump > *std::ranges::max_element(figures.largest_jump)) figures.jump_at = at;
    figures.largest_jump[axis] = std::max(figures.largest_jump[axis], jump);
}

}  // namespace

void WaveformMeter::add(const GradientPiece& piece) {
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const double from = piece.from[axis];
        const double to = piece.to[axis];
        double& gradient = figures_.largest_gradient[axis];
        gradient = std::max({gradient, std::abs(from), std::abs(to)});
        const double slew = (to - from) / piece.lasts.count();
        figures_.largest_slew[axis] = std::max(figures_.largest_slew[axis], std::abs(slew));
        slew_squared_[axis] += slew * (to - from);
        take_jump(figures_, axis, std::abs(from - end_[axis]), piece.start);
    }
    end_ = piece.to;
    figures_.duration = piece.start + piece.lasts;
}

WaveformFigures WaveformMeter::figures() const {
    WaveformFigures figures = figures_;
    if (figures.duration.count() == 0.0) return figures;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        figures.rms_slew[axis] = std::sqrt(slew_squared_[axis] / figures.duration.count());
        take_jump(figures, axis, std::abs(end_[axis]), figures.duration);
    }
    return figures;
}

WaveformFigures figures_of(WaveformSource& source) {
    source.rewind();
    WaveformMeter meter;
    while (const auto piece = source.next())
        meter.add(*piece);
    WaveformFigures figures = meter.figures();
    figures.duration_is_lower_bound = source.duration_is_lower_bound();
    return figures;
}

}  // namespace earbudget
