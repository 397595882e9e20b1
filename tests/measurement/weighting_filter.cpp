#include "earbudget/measurement/meters/weighting_filter.hpp"

#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <stdexcept>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Impulse responses of both weightings, long enough for 10 Hz.
struct Responses {
    Samples c;
    Samples a;
};

Responses responses_at(double rate) {
    Samples impulse = narrow(silence(0.25, rate));
    impulse.front() = 1.0F;
    auto c_filter = WeightingFilter::c_weighting(Frequency(rate));
    auto a_filter = WeightingFilter::a_weighting_after_c(Frequency(rate));
    c_filter.process(impulse);
    Responses result{impulse, {}};
    a_filter.process(impulse);
    result.a = impulse;
    return result;
}

double gain_dB(const Samples& impulse_response, double hertz, double rate) {
    // Horner's scheme in 1/z: one multiplication a sample.
    const auto z = std::polar(1.0, -2.0 * std::numbers::pi * hertz / rate);
    std::complex<double> sum = 0.0;
    for (auto h = impulse_response.rbegin(); h != impulse_response.rend(); ++h)
        sum = sum * z + static_cast<double>(*h);
    return 20.0 * std::log10(std::abs(sum));
}

/// Largest deviations of A and C from the design curve between two frequencies, dB.
struct Deviations {
    double a = 0.0;
    double c = 0.0;
};

Deviations deviations_at(double rate, double from, double to, int steps) {
    const Responses responses = responses_at(rate);
    Deviations worst;
    for (int step = 0; step <= steps; ++step) {
        const double hertz = from * std::pow(to / from, step / static_cast<double>(steps));
        const Frequency f(hertz);
        worst.c =
            std::max(worst.c, std::abs(gain_dB(responses.c, hertz, rate) - c_weighting(f).dB()));
        worst.a =
            std::max(worst.a, std::abs(gain_dB(responses.a, hertz, rate) - a_weighting(f).dB()));
    }
    return worst;
}

}  // namespace

TEST_CASE("A and C weighting follow the design curve from 10 Hz to 0.45 of any sampling rate") {
    std::size_t rows = 0;
    for (const double rate : sampling_rates) {
        CAPTURE(rate);
        const int steps = rate > 50000 ? 150 : 400;
        const Deviations worst = deviations_at(rate, 10.0, 0.45 * rate, steps);
        CHECK(near(worst.a, 0.0, 0.01, Because::OwnTolerance));
        CHECK(near(worst.c, 0.0, 0.01, Because::OwnTolerance));
        ++rows;
    }
    CHECK(rows == 8);
}

TEST_CASE("Weighting works at a sampling rate that nobody designed for") {
    const Deviations worst = deviations_at(44056.0, 10.0, 0.45 * 44056.0, 100);
    CHECK(near(worst.a, 0.0, 0.01, Because::OwnTolerance));
    CHECK(near(worst.c, 0.0, 0.01, Because::OwnTolerance));
}

TEST_CASE("Weighting stays tame between 0.45 and 0.5 of the sampling rate") {
    std::size_t rows = 0;
    for (const double rate : sampling_rates) {
        CAPTURE(rate);
        const Deviations worst = deviations_at(rate, 0.45 * rate, 0.499 * rate, 30);
        CHECK(worst.a < 1.0);
        CHECK(worst.c < 1.0);
        ++rows;
    }
    CHECK(rows == 8);
}

TEST_CASE("Weighting does not depend on how the signal is cut into blocks") {
    const Samples noise = narrow(white_noise(0.5, 0.2, 48000));
    Samples whole = noise;
    WeightingFilter::c_weighting(Frequency(48000)).process(whole);
    for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{1000}}) {
        Samples parts = noise;
        auto filter = WeightingFilter::c_weighting(Frequency(48000));
        for (std::size_t n = 0; n < parts.size(); n += block) {
            filter.process(std::span(parts).subspan(n, std::min(block, parts.size() - n)));
        }
        float difference = 0.0F;
        for (std::size_t n = 0; n < parts.size(); ++n) {
            difference = std::max(difference, std::abs(parts[n] - whole[n]));
        }
        CHECK(near(static_cast<double>(difference), 0.0, 1e-6, Because::Arithmetic));
    }
}

TEST_CASE("Weighting refuses sampling rates outside 8 to 192 kHz") {
    CHECK_THROWS_AS((void)WeightingFilter::c_weighting(Frequency(7999)), std::invalid_argument);
    CHECK_THROWS_AS((void)WeightingFilter::c_weighting(Frequency(192001)), std::invalid_argument);
    CHECK_THROWS_AS((void)WeightingFilter::a_weighting_after_c(Frequency(std::nan(""))),
                    std::invalid_argument);
}

TEST_CASE("A block after long silence is filtered like the first") {
    auto filter = WeightingFilter::c_weighting(Frequency(8000));
    Samples burst = narrow(sine(500, 0.5, 0.1, 8000));
    Samples first = burst;
    filter.process(first);
    for (int second = 0; second < 30; ++second) {
        Samples still = narrow(silence(1.0, 8000));
        filter.process(still);
        if (second > 0)
            CHECK(near(static_cast<double>(still.back()), 0.0, 0.0, Because::Arithmetic));
    }
    filter.process(burst);
    for (std::size_t n = 0; n < burst.size(); ++n) {
        CHECK(near(static_cast<double>(burst[n] - first[n]), 0.0, 1e-7, Because::Arithmetic));
    }
}
