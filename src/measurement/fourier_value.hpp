#pragma once

#include <cmath>
#include <span>

namespace earbudget {

/// |Σ x[n] · e^(i·turn·n)|² at any frequency, `turn` in radians from one value to the next.
template <class Value>
[[nodiscard]] double squared_fourier_value(std::span<const Value> x, double turn) {
    const double turn_re = std::cos(turn);
    const double turn_im = std::sin(turn);
    double re = 1.0;
    double im = 0.0;
    double sum_re = 0.0;
    double sum_im = 0.0;
    for (const Value value : x) {
        sum_re += static_cast<double>(value) * re;
        sum_im += static_cast<double>(value) * im;
        const double next = re * turn_re - im * turn_im;
        im = re * turn_im + im * turn_re;
        re = next;
    }
    return sum_re * sum_re + sum_im * sum_im;
}

}  // namespace earbudget
