#include "earbudget/excitation/drive.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace earbudget {

DriveSampler::DriveSampler(WaveformSource& source, Seconds start, Seconds step)
    : source_(source), start_(start.count()), step_(step.count()) {
    source_.rewind();
    advance();
    before_ = mean_of_next();
}

void DriveSampler::advance() {
    piece_ = source_.next();
    if (!piece_) return;
    begin_ = piece_->start.count();
    end_ = begin_ + piece_->lasts.count();
    for (std::size_t axis = 0; axis < gradient_axes; ++axis)
        slope_[axis] = (piece_->to[axis] - piece_->from[axis]) / piece_->lasts.count();
}

AxisVector DriveSampler::mean_of_next() {
    double at = start_ + static_cast<double>(count_) * step_;
    const double until = start_ + static_cast<double>(++count_) * step_;
    AxisVector mean{};
    while (at < until) {
        while (piece_ && end_ <= at)
            advance();
        if (!piece_) {
            ++after_end_;
            break;
        }
        const double from = std::max(at, begin_);
        if (from >= until) break;
        const double to = std::min(until, end_);
        const double part = (to - from) / step_;
        const double middle = (from + to) / 2.0 - begin_;
        for (std::size_t axis = 0; axis < gradient_axes; ++axis)
            mean[axis] += part * (piece_->from[axis] + slope_[axis] * middle);
        at = to;
    }
    return mean;
}

void DriveSampler::read(const std::array<std::span<float>, gradient_axes>& axes) {
    for (std::size_t n = 0; n < axes[0].size(); ++n) {
        const AxisVector mean = mean_of_next();
        for (std::size_t axis = 0; axis < gradient_axes; ++axis)
            axes[axis][n] = static_cast<float>(mean[axis] - before_[axis]);
        before_ = mean;
    }
}

double drive_of_gradient(double frequency_times_step) {
    const double half = std::numbers::pi * frequency_times_step;
    if (half <= 0.0) return 0.0;
    const double sinc = std::sin(half) / half;
    return 2.0 * half * sinc * sinc;
}

}  // namespace earbudget
