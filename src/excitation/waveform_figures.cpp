#include "earbudget/excitation/waveform_figures.hpp"

#include <algorithm>
#include <cmath>

namespace earbudget {

void WaveformMeter::add(const GradientPiece& piece) {
    const bool is_first = figures_.duration.count() == 0.0;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        const double from = piece.from[axis];
        const double to = piece.to[axis];
        double& gradient = figures_.largest_gradient[axis];
        gradient = std::max({gradient, std::abs(from), std::abs(to)});
        const double slew = (to - from) / piece.lasts.count();
        figures_.largest_slew[axis] = std::max(figures_.largest_slew[axis], std::abs(slew));
        slew_squared_[axis] += slew * (to - from);
        const double jump = is_first ? 0.0 : std::abs(from - end_[axis]);
        if (jump > *std::max_element(figures_.largest_jump.begin(), figures_.largest_jump.end()))
            figures_.jump_at = piece.start;
        figures_.largest_jump[axis] = std::max(figures_.largest_jump[axis], jump);
    }
    end_ = piece.to;
    figures_.duration = piece.start + piece.lasts;
}

WaveformFigures WaveformMeter::figures() const {
    WaveformFigures figures = figures_;
    if (figures.duration.count() == 0.0) return figures;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis)
        figures.rms_slew[axis] = std::sqrt(slew_squared_[axis] / figures.duration.count());
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
