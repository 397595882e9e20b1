#include "measurement/spectrum/transform_tables.hpp"

#include <cmath>
#include <numbers>

namespace earbudget {

namespace {

std::vector<float> window_of(std::size_t length) {
    std::vector<float> window(length);
    for (std::size_t n = 0; n < length; ++n) {
        const double x =
            std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(length);
        window[n] =
            static_cast<float>(std::sin(std::numbers::pi / 2.0 * std::sin(x) * std::sin(x)));
    }
    return window;
}

std::vector<float> twiddles_for(std::size_t length) {
    std::vector<float> twiddles;
    for (; length >= 4; length /= 4) {
        for (std::size_t j = 0; j < length / 4; ++j) {
            for (std::size_t power = 1; power <= 3; ++power) {
                const double angle = -2.0 * std::numbers::pi * static_cast<double>(power * j) /
                                     static_cast<double>(length);
                twiddles.push_back(static_cast<float>(std::cos(angle)));
                twiddles.push_back(static_cast<float>(std::sin(angle)));
            }
        }
    }
    return twiddles;
}

}  // namespace

SharedTables::Table power_complementary_window(std::size_t length) {
    static SharedTables windows;
    return windows.at(length, window_of);
}

SharedTables::Table twiddles_of_length(std::size_t length) {
    static SharedTables twiddles;
    return twiddles.at(length, twiddles_for);
}

std::size_t frequency_at(std::size_t place, std::size_t length) {
    std::size_t frequency = 0;
    std::size_t weight = 1;
    while (length > 1) {
        const std::size_t radix = length == 2 ? 2 : 4;
        length /= radix;
        frequency += weight * (place / length);
        place %= length;
        weight *= radix;
    }
    return frequency;
}

}  // namespace earbudget
