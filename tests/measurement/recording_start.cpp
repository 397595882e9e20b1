// What precedes a recording and where its zero lies are unknown: neither may make a false peak.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <span>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/meters/channel_analyser.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("A tone that starts in mid-wave has no false peak") {
    std::size_t rows = 0;
    for (const double hertz : {10.0, 31.5, 63.0, 250.0, 1000.0, 8000.0}) {
        for (int eighth = 0; eighth < 8; ++eighth) {
            CAPTURE(hertz);
            CAPTURE(eighth);
            const double phase = eighth * std::numbers::pi / 4.0;
            const auto reading = reading_of(sine(hertz, 0.5, 1.7, 48000, phase), 48000);
            const double crest = 10.0 * std::log10(2.0);
            const double steady = 20.0 * std::log10(0.5) + c_weighting(Frequency(hertz)).dB();
            CHECK(near(reading.C_peak->dB(), steady + crest, 0.1, Because::OwnTolerance));
            ++rows;
        }
    }
    CHECK(rows == 48);
}

TEST_CASE("Low noise that goes on has no false peak where the recording begins") {
    constexpr double rate = 8000;
    std::size_t rows = 0;
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        CAPTURE(seed);
        // A random walk with a slow return: no two stretches alike, most of it below 20 Hz.
        Signal walk = white_noise(1.0, 4.0, rate, seed);
        for (std::size_t n = 1; n < walk.size(); ++n)
            walk[n] += 0.999 * walk[n - 1];
        Samples heard_before = narrow(walk);
        WeightingFilter::c_weighting(Frequency(rate)).process(heard_before);
        const auto cut = static_cast<std::size_t>(rate);
        PeakMeter meter;
        meter.add(std::span(heard_before).subspan(cut));
        const double peak = std::max(meter.highest(), -meter.lowest());
        const auto reading = reading_of(std::span(walk).subspan(cut), rate);
        CHECK(near(reading.C_peak->dB(), 10.0 * std::log10(peak * peak / 0.5), 0.3,
                   Because::SeededRandomness));
        ++rows;
    }
    CHECK(rows == 6);
}

TEST_CASE("An unweighted peak is counted from the mean of the whole recording") {
    // One second at 0, three at 0.4 with a tone, and between them no step that would overshoot.
    Signal signal =
        followed_by(silence(1.0, 48000), 0.1 * faded(sine(1000, 1.0, 3.0, 48000), 0.1, 48000));
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double part = std::clamp((static_cast<double>(n) - 47000.0) / 2000.0, 0.0, 1.0);
        signal[n] += 0.4 * (0.5 - 0.5 * std::cos(std::numbers::pi * part));
    }
    const auto reading = reading_of(signal, 48000);
    // Mean 0.3: the silence lies further from it than the crests at 0.5.
    CHECK(
        near(reading.Z_peak->dB(), 10.0 * std::log10(0.3 * 0.3 / 0.5), 0.001, Because::Arithmetic));
}
