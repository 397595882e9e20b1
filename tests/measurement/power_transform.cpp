#include "earbudget/measurement/spectrum/power_transform.hpp"

#include <cmath>
#include <memory>
#include <stdexcept>

#include <doctest/doctest.h>

#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Samples window_of(std::size_t length) {
    Samples window(length);
    for (std::size_t n = 0; n < length; ++n)
        window[n] = 0.2F + static_cast<float>(n) / static_cast<float>(length);
    return window;
}

std::shared_ptr<const Samples> ones(std::size_t length) {
    return std::make_shared<const Samples>(length, 1.0F);
}

/// |X|² of one window by KissFFT, an implementation that shares nothing with ours.
void add_power(std::vector<double>& power, const Samples& window, std::span<const float> samples,
               double scale) {
    RealFft fft(window.size());
    Samples windowed(window.size());
    for (std::size_t n = 0; n < window.size(); ++n)
        windowed[n] = window[n] * samples[n];
    const auto spectrum = fft(windowed);
    for (std::size_t k = 0; k < power.size(); ++k)
        power[k] += scale * static_cast<double>(std::norm(spectrum[k]));
}

}  // namespace

TEST_CASE("Powers of many windows are those that KissFFT gives, at every length") {
    std::size_t rows = 0;
    for (std::size_t length = 8; length <= 32768; length *= 2) {
        CAPTURE(length);
        const Samples window = window_of(length);
        PowerTransform transform(std::make_shared<const Samples>(window));
        const Samples noise =
            narrow(white_noise(0.5, static_cast<double>(transform.span_of_all()), 1.0, length));
        std::vector<double> expected(length / 2 + 1, 0.0);
        const auto all = std::span<const float>(noise);
        transform.add_all(all);
        for (std::size_t k = 0; k < PowerTransform::at_once; ++k)
            add_power(expected, window, all.subspan(k * transform.hop(), length), 1.0);
        // Some on their own, so that the last batch is not full.
        for (std::size_t k = 0; k < 11; ++k) {
            const double scale = 0.1 * static_cast<double>(k + 1);
            transform.add_one(all.subspan(k, length), scale);
            add_power(expected, window, all.subspan(k, length), scale);
        }
        const auto power = transform.finish();
        REQUIRE(power.size() == expected.size());
        double highest = 0.0;
        for (const double x : expected)
            highest = std::max(highest, x);
        double worst = 0.0;
        for (std::size_t k = 0; k < power.size(); ++k)
            worst = std::max(worst, std::abs(power[k] - expected[k]) / highest);
        CHECK(near(worst, 0.0, 2e-6, Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == 13);
}

TEST_CASE("The whole power is the windowed energy, by Parseval's theorem") {
    const Samples window = window_of(64);
    const Samples noise = narrow(white_noise(0.5, 64.0, 1.0, 3));
    PowerTransform transform(std::make_shared<const Samples>(window));
    transform.add_one(noise, 1.0);
    const auto power = transform.finish();
    double energy = 0.0;
    for (std::size_t n = 0; n < 64; ++n) {
        const auto x = static_cast<double>(window[n] * noise[n]);
        energy += x * x;
    }
    double sum = power.front() + power.back();
    for (std::size_t k = 1; k + 1 < power.size(); ++k)
        sum += 2.0 * power[k];
    CHECK(near(sum / (64.0 * energy), 1.0, 1e-6, Because::Arithmetic));
}

TEST_CASE("Nothing else than a power of two of values makes a window") {
    CHECK_THROWS_AS(PowerTransform(ones(4)), std::invalid_argument);
    CHECK_THROWS_AS(PowerTransform(ones(24)), std::invalid_argument);
    PowerTransform transform(ones(8));
    CHECK_THROWS_AS(transform.add_one(Samples(7), 1.0), std::invalid_argument);
    CHECK_THROWS_AS(transform.add_all(Samples(7)), std::invalid_argument);
}
