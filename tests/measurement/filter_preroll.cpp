#include <array>
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/meters/weighting_filter.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("Before a tone there was more of it, whatever its phase") {
    std::size_t rows = 0;
    for (const double rate : {8000.0, 44100.0, 192000.0}) {
        for (const double hertz : {10.0, 31.5, 100.0, 440.0}) {
            CAPTURE(rate);
            CAPTURE(hertz);
            const auto past =
                filter_preroll(narrow(sine(hertz, 1.0, 1.0, rate, 1.0)), Frequency(rate));
            REQUIRE(past.size() == samples_in(0.2, rate));
            double squares = 0.0;
            for (std::size_t n = 1; n <= past.size(); ++n) {
                const double t = -static_cast<double>(n) / rate;
                const double expected = std::sin(2.0 * std::numbers::pi * hertz * t + 1.0);
                const double error = static_cast<double>(past[past.size() - n]) - expected;
                squares += error * error / static_cast<double>(past.size());
            }
            CHECK(std::sqrt(squares) < 0.2);
            ++rows;
        }
    }
    CHECK(rows == 12);
}

TEST_CASE("Before a single burst there was stillness") {
    const Signal burst = followed_by(sine(31.5, 1.0, 1.0 / 31.5, 48000), silence(0.9, 48000));
    for (const float x : filter_preroll(narrow(burst), Frequency(48000))) {
        CHECK(near(static_cast<double>(x), 0.0, 0.0, Because::Arithmetic));
    }
    CHECK(filter_preroll(Samples{}, Frequency(48000)).size() == 9600);
}

TEST_CASE("Before sound that goes on without repeating itself its first value was held") {
    // Ever faster: nothing recurs, and the start is far from the mean.
    Signal sweep(48000);
    for (std::size_t n = 0; n < sweep.size(); ++n) {
        const double t = static_cast<double>(n) / 48000.0;
        sweep[n] = std::cos(2.0 * std::numbers::pi * (20.0 * t + 400.0 * t * t));
    }
    for (const float x : filter_preroll(narrow(sweep), Frequency(48000))) {
        CHECK(near(static_cast<double>(x), 1.0, 0.01, Because::OwnTolerance));
    }
    CHECK(!recurring_preroll(narrow(sweep), Frequency(48000), 100, 0.25).has_value());
}
