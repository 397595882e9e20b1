#include "earbudget/measurement/spectrum/tones.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double tones_rate = 48000;
constexpr std::size_t bins_length = 32768;

Tones tones_of(const Signal& signal) {
    SpectrumMeter meter{Frequency(tones_rate)};
    meter.add(narrow(signal));
    return find_tones(meter.finish());
}

Signal comb(double spacing, int from, int to, double seconds, double shift = 0.0) {
    Signal signal = white_noise(1e-4, seconds, tones_rate, 5);
    for (int h = from; h <= to; ++h)
        signal = std::move(signal) + sine(h * spacing + shift, 0.02, seconds, tones_rate, h * h);
    return signal;
}

/// White noise through two poles at about 1 kHz, or with a slope of -3 dB an octave.
Signal low_noise(double seconds, std::uint64_t seed) {
    Signal noise = white_noise(0.3, seconds, tones_rate, seed);
    double once = 0.0;
    double twice = 0.0;
    for (double& x : noise) {
        once += 0.1 * (x - once);
        twice += 0.1 * (once - twice);
        x = twice;
    }
    return noise;
}

Signal pink_noise(double seconds, std::uint64_t seed) {
    // One-pole filters a factor of four apart, each 6 dB up on the next higher one.
    Signal noise = white_noise(0.01, seconds, tones_rate, seed);
    Signal sum = noise;
    for (double pole = 0.5; pole > 1e-4; pole /= 4.0) {
        double state = 0.0;
        for (std::size_t n = 0; n < sum.size(); ++n) {
            state += pole * (noise[n] - state);
            sum[n] += state / std::sqrt(pole);
        }
    }
    return sum;
}

Signal pulsed(Signal signal, double period, double on) {
    for (std::size_t n = 0; n < signal.size(); ++n) {
        if (std::fmod(static_cast<double>(n) / tones_rate, period) > on) signal[n] = 0.0;
    }
    return signal;
}

Signal sweep(double from, double to, double seconds) {
    Signal signal = white_noise(1e-5, seconds, tones_rate);
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double t = static_cast<double>(n) / tones_rate;
        signal[n] += 0.3 * std::sin(2.0 * std::numbers::pi *
                                    (from * t + 0.5 * (to - from) * t * t / seconds));
    }
    return signal;
}

}  // namespace

TEST_CASE("Tones in noise from 50 Hz to 15 kHz") {
    // Noise of 1.2e-4 a hertz and a tone of 0.005: 8 to 20 dB above what is prominent.
    for (const double hertz : {50.0, 63.3, 120.7, 443.9, 1000.0, 2345.6, 3990.0, 4010.0, 5000.7,
                               8123.4, 12000.0, 15000.0}) {
        CAPTURE(hertz);
        const double per_hertz = hertz < 200.0 ? 1e-8 : 1e-7;
        const Signal signal =
            sine(hertz, 0.1, 3.0, tones_rate, hertz) +
            white_noise(std::sqrt(3.0 * per_hertz * tones_rate / 2.0), 3.0, tones_rate, 3);
        const auto result = tones_of(signal);
        REQUIRE(result.tones.size() == 1);
        const Tone tone = result.tones[0];
        CHECK(near(tone.frequency.Hz(), hertz, 0.2, Because::SeededRandomness));
        CHECK(near(tone.level.dB(), -20.0, 0.2, Because::SeededRandomness));
        CHECK(tone.harmonic == 0);
        CHECK_FALSE(result.fundamental.has_value());
    }
}

TEST_CASE("How far a tone stands out of white noise of known density") {
    // Mean square 0.005 over 1e-7 a hertz in the critical band of 162.2 Hz at 1 kHz: 24.9 dB;
    // the louder side of the noise counts, which errs to less.
    const Signal signal =
        sine(1000, 0.1, 20.0, tones_rate) +
        white_noise(std::sqrt(3.0 * 1e-7 * tones_rate / 2.0), 20.0, tones_rate, 9);
    const auto result = tones_of(signal);
    REQUIRE(result.tones.size() == 1);
    CHECK(near(result.tones[0].above_noise.dB(), 24.89, 1.0, Because::SeededRandomness));
    CHECK(near(result.tones[0].level.dB(), -20.0, 0.05, Because::SeededRandomness));
}

TEST_CASE("A tone is prominent from the published ratio on") {
    // At 1 kHz 8 dB, at 100 Hz 16.33 dB; at 6 kHz, coarse bins, 8 dB.
    struct Row {
        double hertz;
        double bandwidth;
        double least_dB;
    };
    for (const Row row : {Row{100, 100.7, 16.33}, Row{1000, 162.2, 8.0}, Row{6000, 1146.0, 8.0}}) {
        CAPTURE(row.hertz);
        for (const double margin : {-1.5, 1.5}) {
            const double noise = 0.005 / std::pow(10.0, 0.1 * (row.least_dB + margin));
            const double per_hertz = noise / row.bandwidth;
            const Signal signal =
                sine(row.hertz, 0.1, 10.0, tones_rate) +
                white_noise(std::sqrt(3.0 * per_hertz * tones_rate / 2.0), 10.0, tones_rate, 2);
            CHECK(tones_of(signal).tones.size() == (margin > 0.0 ? 1U : 0U));
        }
    }
}

TEST_CASE("Tones 15 Hz apart are told apart, also with 20 dB between them") {
    for (const double weaker : {0.02, 0.002}) {
        const Signal signal = white_noise(1e-4, 3.0, tones_rate) +
                              sine(1000, 0.02, 3.0, tones_rate) +
                              sine(1015, weaker, 3.0, tones_rate);
        const auto result = tones_of(signal);
        REQUIRE(result.tones.size() == 2);
        CHECK(near(result.tones[0].frequency.Hz(), 1000.0, 0.1, Because::FiniteSignal));
        CHECK(near(result.tones[1].frequency.Hz(), 1015.0, 0.1, Because::FiniteSignal));
        CHECK(near(result.tones[1].level.dB(), 20.0 * std::log10(weaker), 0.1,
                   Because::FiniteSignal));
    }
}

TEST_CASE("Combs from 20 Hz spacing up are found whole and numbered") {
    for (const double spacing : {20.0, 23.7, 50.0, 313.0}) {
        CAPTURE(spacing);
        const Signal signal = comb(spacing, 1, 30, 3.0);
        const auto result = tones_of(signal);
        REQUIRE(result.tones.size() == 30);
        REQUIRE(result.fundamental.has_value());
        CHECK(near(result.fundamental->Hz(), spacing, 0.05, Because::FiniteSignal));
        for (unsigned i = 0; i < 30; ++i) {
            CHECK(result.tones[i].harmonic == i + 1);
            CHECK(near(result.tones[i].frequency.Hz(), (i + 1) * spacing, 0.2,
                       Because::FiniteSignal));
            CHECK(near(result.tones[i].level.dB(), -33.98, 0.1, Because::FiniteSignal));
        }
    }
}

TEST_CASE("A comb without its low lines has numbers and no fundamental") {
    const auto result = tones_of(comb(20.0, 30, 60, 3.0));
    REQUIRE(result.tones.size() == 31);
    CHECK(result.tones.front().harmonic == 30);
    CHECK(result.tones.back().harmonic == 60);
    CHECK_FALSE(result.fundamental.has_value());
}

TEST_CASE("Of many tones the strongest 50 stay, numbered as in the whole series") {
    Signal signal = comb(40.0, 1, 70, 3.0);
    signal = std::move(signal) + comb(40.0, 31, 70, 3.0);  // twice: 6 dB up
    const auto result = tones_of(signal);
    REQUIRE(result.tones.size() == 50);
    REQUIRE(result.fundamental.has_value());
    CHECK(near(result.fundamental->Hz(), 40.0, 0.05, Because::FiniteSignal));
    for (unsigned i = 10; i < 50; ++i)
        CHECK(result.tones[i].harmonic == i + 21);
}

TEST_CASE("Tones more than 60 dB below the strongest are left out") {
    for (const double decibels : {-57.0, -63.0}) {
        const Signal signal = white_noise(1e-6, 3.0, tones_rate) +
                              sine(1000, 0.5, 3.0, tones_rate) +
                              sine(2500, 0.5 * std::pow(10.0, decibels / 20.0), 3.0, tones_rate);
        CHECK(tones_of(signal).tones.size() == (decibels > -60.0 ? 2U : 1U));
    }
}

TEST_CASE("A strong tone has no company on its shoulders, wherever between bins it lies") {
    for (int tenth = 0; tenth < 10; ++tenth) {
        const double hertz = (900.0 + 0.1 * tenth) * tones_rate / static_cast<double>(bins_length);
        CHECK(tones_of(sine(hertz, 0.9, 2.0, tones_rate)).tones.size() == 1);
    }
}

TEST_CASE("Noise alone has no tones, however few windows are averaged") {
    std::size_t trials = 0;
    std::size_t alarms = 0;
    for (const double seconds : {0.7, 1.0, 1.5, 3.0, 10.0}) {
        for (std::uint64_t seed = 1; seed <= (seconds > 2.0 ? 2U : 8U); ++seed) {
            const Signal white = white_noise(0.3, seconds, tones_rate, 77 * seed);
            for (const Signal& noise : {white, low_noise(seconds, seed), pink_noise(seconds, seed),
                                        pulsed(white, 0.1, 0.03), pulsed(white, 0.5, 0.1)}) {
                alarms += tones_of(noise).tones.size();
                ++trials;
            }
        }
    }
    CHECK(trials == 140);
    CHECK(alarms == 0);
}

TEST_CASE("A sweep is no tone") {
    for (const double seconds : {3.0, 10.0}) {
        CAPTURE(seconds);
        CHECK(tones_of(sweep(100, 10000, seconds)).tones.empty());
        CHECK(tones_of(sweep(1000, 1100, seconds)).tones.empty());
    }
}

TEST_CASE("A narrow band of noise in quiet surroundings is no tone") {
    std::size_t alarms = 0;
    std::size_t trials = 0;
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        // Noise up to some 10 Hz, twice filtered, moved to either side of 1 kHz.
        Signal band = white_noise(1.0, 10.0, tones_rate, seed);
        double once = 0.0;
        double twice = 0.0;
        for (std::size_t n = 0; n < band.size(); ++n) {
            once += 0.0013 * (band[n] - once);
            twice += 0.0013 * (once - twice);
            band[n] = twice * std::cos(2.0 * std::numbers::pi * 1000.0 * static_cast<double>(n) /
                                       tones_rate);
        }
        alarms += tones_of(band + white_noise(1e-6, 10.0, tones_rate, seed + 100)).tones.size();
        ++trials;
    }
    CHECK(trials == 6);
    CHECK(alarms <= 1);
    CHECK(tones_of(sweep(1000, 1010, 10.0)).tones.empty());
}

TEST_CASE("A tone that comes and goes is found at its frequency") {
    for (const double period : {2.0, 1.0, 0.5, 0.25, 0.125, 0.1}) {
        CAPTURE(period);
        const Signal signal = white_noise(1e-3, 10.0, tones_rate) +
                              pulsed(sine(1000, 0.1, 10.0, tones_rate), period, 0.5 * period);
        const auto tones = tones_of(signal).tones;
        const auto strongest =
            std::max_element(tones.begin(), tones.end(),
                             [](const Tone& a, const Tone& b) { return a.level < b.level; });
        REQUIRE(strongest != tones.end());
        CHECK(near(strongest->frequency.Hz(), 1000.0, 1.0, Because::FiniteSignal));
    }
}

TEST_CASE("Silence and nothing have no tones") {
    const PowerSpectrum nothing{Frequency(1), {}};
    const PowerSpectrum silent{Frequency(1), std::vector<double>(4000, 0.0)};
    for (const PowerSpectrum* spectrum : {&nothing, &silent})
        CHECK(find_tones(*spectrum).tones.empty());
}

TEST_CASE("A line out of nothing stands as far above it as can be said") {
    PowerSpectrum spectrum{Frequency(1), std::vector<double>(4000, 0.0)};
    spectrum.mean_square[1000] = 0.005;
    const auto tones = find_tones(spectrum).tones;
    REQUIRE(tones.size() == 1);
    CHECK(near(tones[0].frequency.Hz(), 1000.0, 1e-9, Because::Arithmetic));
    CHECK(near(tones[0].level.dB(), -20.0, 1e-9, Because::Arithmetic));
    CHECK(near(tones[0].above_noise.dB(), 200.0, 1e-9, Because::Arithmetic));
}
