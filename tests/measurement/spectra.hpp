#pragma once

#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <span>
#include <vector>

#include "earbudget/measurement/real_fft.hpp"
#include "earbudget/measurement/spectrum_meter.hpp"

namespace earbudget::test {

/// Windows whose squares add up to a constant; x runs from 0 to pi over the window.
enum class Window {
    Hann,             ///< sin^2 x, overlapping by three quarters
    SineOfSineSquare  ///< sin(pi/2 sin^2 x), overlapping by half
};

inline std::vector<float> values_of(Window window, std::size_t length) {
    std::vector<float> values(length);
    for (std::size_t n = 0; n < length; ++n) {
        const double x =
            std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(length);
        const double hann = std::sin(x) * std::sin(x);
        values[n] = static_cast<float>(
            window == Window::Hann ? hann : std::sin(0.5 * std::numbers::pi * hann));
    }
    return values;
}

/// Mean power spectrum of all windows that fit into the signal.
inline PowerSpectrum averaged_spectrum(std::span<const double> signal, double rate,
                                       std::size_t length, Window window) {
    RealFft fft(length);
    const auto values = values_of(window, length);
    double squares = 0.0;
    for (const float value : values)
        squares += static_cast<double>(value) * static_cast<double>(value);

    PowerSpectrum spectrum{Frequency(rate / static_cast<double>(length)),
                           std::vector<double>(length / 2 + 1, 0.0)};
    std::vector<float> windowed(length);
    std::size_t windows = 0;
    const std::size_t hop = window == Window::Hann ? length / 4 : length / 2;
    for (std::size_t start = 0; start + length <= signal.size(); start += hop) {
        for (std::size_t n = 0; n < length; ++n)
            windowed[n] = values[n] * static_cast<float>(signal[start + n]);
        const auto transform = fft(windowed);
        for (std::size_t k = 0; k < transform.size(); ++k)
            spectrum.mean_square[k] += std::norm(std::complex<double>(transform[k]));
        ++windows;
    }
    const double scale =
        1.0 / (static_cast<double>(length) * squares * static_cast<double>(windows));
    for (std::size_t k = 0; k < spectrum.mean_square.size(); ++k) {
        const bool alone = k == 0 || k + 1 == spectrum.mean_square.size();
        spectrum.mean_square[k] *= alone ? scale : 2.0 * scale;
    }
    return spectrum;
}

}  // namespace earbudget::test
