#include "earbudget/measurement/spectrum/spectrum_meter.hpp"

#include <cmath>
#include <numbers>
#include <numeric>

#include <doctest/doctest.h>

#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

PowerSpectrum spectrum_of(std::span<const double> signal, double rate, std::size_t block = 4096,
                          bool apart = false) {
    SpectrumMeter meter(Frequency(rate), apart);
    const Samples samples = narrow(signal);
    for (std::span<const float> rest = samples; !rest.empty();) {
        const auto part = rest.first(std::min(block, rest.size()));
        meter.add(part);
        rest = rest.subspan(part.size());
    }
    return meter.finish();
}

double total(const PowerSpectrum& spectrum) {
    return std::accumulate(spectrum.mean_square.begin(), spectrum.mean_square.end(), 0.0);
}

double ratio_dB(double a, double b) { return 10.0 * std::log10(a / b); }

}  // namespace

TEST_CASE("Bins are at most 1.5 Hz wide at every sampling rate") {
    for (const double rate : sampling_rates) {
        const auto spectrum = spectrum_of(Signal(10, 0.0), rate);
        CHECK(spectrum.bin_width <= Frequency(1.5));
        const double highest =
            static_cast<double>(spectrum.mean_square.size() - 1) * spectrum.bin_width.Hz();
        CHECK(near(highest, rate / 2.0, 1e-6, Because::Arithmetic));
    }
}

TEST_CASE("Every sample counts once, at whatever moment") {
    constexpr double rate = 8000;
    std::size_t rows = 0;
    for (const std::size_t length : {std::size_t{1}, std::size_t{100}, std::size_t{8191},
                                     std::size_t{8192}, std::size_t{20000}, std::size_t{50001}}) {
        const Signal noise = white_noise(0.5, static_cast<double>(length) / rate, rate, length);
        REQUIRE(noise.size() == length);
        CHECK(near(ratio_dB(total(spectrum_of(noise, rate)), mean_square(noise)), 0.0, 1e-4,
                   Because::Arithmetic));
        ++rows;
    }
    for (const std::size_t at : {std::size_t{0}, std::size_t{1}, std::size_t{700},
                                 std::size_t{2047}, std::size_t{15000}, std::size_t{29999}}) {
        CAPTURE(at);
        Signal click(30000, 0.0);
        click[at] = 1.0;
        CHECK(near(ratio_dB(total(spectrum_of(click, rate)), mean_square(click)), 0.0, 1e-4,
                   Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == 12);
}

TEST_CASE("A spectrum does not depend on how the signal is cut into blocks") {
    const Signal noise = white_noise(0.5, 3.0, 8000);
    const auto whole = spectrum_of(noise, 8000, noise.size());
    for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{4096}}) {
        const auto parts = spectrum_of(noise, 8000, block);
        REQUIRE(parts.mean_square.size() == whole.mean_square.size());
        for (std::size_t k = 0; k < whole.mean_square.size(); ++k) {
            CHECK(near(parts.mean_square[k], whole.mean_square[k], 0.0, Because::Arithmetic));
        }
    }
}

TEST_CASE("A thread of its own for the transforms changes no bit of a spectrum") {
    for (const double seconds : {1.0, 7.0, 40.0}) {
        const Signal noise = white_noise(0.3, seconds, 48000.0, 2);
        const auto alone = spectrum_of(noise, 48000.0);
        const auto apart = spectrum_of(noise, 48000.0, 4096, true);
        CHECK(total(alone) > 0.0);
        CHECK(alone.mean_square == apart.mean_square);
    }
}

TEST_CASE("A tone cut off in mid-wave does not splash into distant bins") {
    constexpr double rate = 48000;
    for (const double phase : {0.0, std::numbers::pi / 2}) {
        const auto spectrum = spectrum_of(sine(1000, 1.0, 2.1, rate, phase), rate);
        double far = 0.0;
        for (std::size_t k = 0; k < spectrum.mean_square.size(); ++k) {
            const double hertz = static_cast<double>(k) * spectrum.bin_width.Hz();
            if (hertz < 500.0 || hertz > 2000.0) far += spectrum.mean_square[k];
        }
        CHECK(ratio_dB(far, total(spectrum)) < -90.0);
        CHECK(near(ratio_dB(total(spectrum), 0.5), 0.0, 0.001, Because::Arithmetic));
    }
}

TEST_CASE("Nothing in, nothing out") {
    CHECK(near(total(SpectrumMeter(Frequency(48000)).finish()), 0.0, 0.0, Because::Arithmetic));
    CHECK(near(total(spectrum_of(silence(1.0, 48000), 48000)), 0.0, 0.0, Because::Arithmetic));
}
