#include "measurement/spectral_lines.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "measurement/signals.hpp"
#include "measurement/spectra.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr std::size_t length = 4096;

std::vector<double> power_of(const Signal& signal, Window window) {
    return averaged_spectrum(signal, static_cast<double>(length), length, window).mean_square;
}

/// A flat floor with a step up of `width` bins.
std::vector<double> plateau(std::size_t width) {
    std::vector<double> power(1000, 1e-6);
    for (std::size_t k = 500; k < 500 + width; ++k)
        power[k] = 1.0 + 1e-3 * static_cast<double>(k % 2);
    return power;
}

}  // namespace

TEST_CASE("A line's place between bins and its mean square, through either window") {
    for (const Window window : {Window::Hann, Window::SineOfSineSquare}) {
        for (int tenth = 0; tenth < 10; ++tenth) {
            const double bin = 400.0 + 0.1 * tenth;
            CAPTURE(bin);
            // One second at as many samples a second as bins: hertz are bins.
            const auto lines = spectral_lines(
                power_of(sine(bin, 0.1, 3.0, static_cast<double>(length)), window), 390, 410);
            REQUIRE(lines.size() == 1);
            // The second window's lobe has a notch near 1.7 bins: bias up to 0.01 bins.
            CHECK(near(lines[0].position, bin, 0.02, Because::Arithmetic));
            CHECK(near(10.0 * std::log10(lines[0].mean_square / 0.005), 0.0, 0.03,
                       Because::Arithmetic));
        }
    }
}

TEST_CASE("What is broader than a main lobe is no line") {
    CHECK(spectral_lines(plateau(1), 10, 900).size() == 1);
    for (const std::size_t width : {std::size_t{6}, std::size_t{7}, std::size_t{20}}) {
        CAPTURE(width);
        CHECK(spectral_lines(plateau(width), 10, 900).empty());
    }
}

TEST_CASE("Lines next to the ends of a spectrum and spectra too short for any") {
    std::vector<double> power(64, 1e-6);
    power[5] = power[59] = 1.0;
    CHECK(spectral_lines(power, 0, 63).size() == 2);
    CHECK(spectral_lines(power, 6, 58).empty());
    for (std::size_t size = 0; size < 9; ++size) {
        CHECK(spectral_lines(std::vector<double>(size, 1.0), 0, size).empty());
    }
    CHECK(spectral_lines(std::vector<double>(64, 0.0), 0, 63).empty());
}
