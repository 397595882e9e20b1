// IEC 61260-1:2014: time-invariant operation (sweeps) and summation of bands.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

const double octave_ratio = std::pow(10.0, 0.3);

/// Exponential sweep of constant amplitude: as long in every octave.
struct Sweep {
    double from, to, seconds;

    [[nodiscard]] Signal at(double rate) const {
        const double growth = std::log(to / from) / seconds;
        Signal signal(samples_in(seconds, rate));
        for (std::size_t n = 0; n < signal.size(); ++n) {
            const double t = static_cast<double>(n) / rate;
            const double cycles = from / growth * std::expm1(growth * t);
            signal[n] = 0.5 * std::sin(2.0 * std::numbers::pi * (cycles - std::floor(cycles)));
        }
        return signal;
    }

    /// Share of the time, and so of the energy, that it spends in a band of 1/`parts` octave, dB.
    [[nodiscard]] double share_of_band(double parts) const {
        return 10.0 * std::log10(std::log(octave_ratio) / parts / std::abs(std::log(to / from)));
    }
};

/// One pole at `pole` Hz and one zero at `zero` Hz.
Signal filtered(Signal signal, double pole, double zero, double rate) {
    const auto place = [&](double hertz) {
        return std::exp(-2.0 * std::numbers::pi * hertz / rate);
    };
    const double p = place(pole), q = place(zero);
    const double gain = pole > zero ? 1.0 : pole / std::max(zero, 1e-9);
    double in = 0.0, out = 0.0;
    for (double& x : signal) {
        out = gain * (x - q * in) + p * out;
        in = std::exchange(x, out);
    }
    return signal;
}

/// From white noise: power as 1 / f between 150 Hz and 5 kHz, so little beyond 60 Hz and 15 kHz
/// that the octave bands hold all but a few thousandths of it.
Signal pink_within_bands(Signal signal, double rate) {
    for (double hertz = 100.0; hertz < 10000.0; hertz *= 4.0)
        signal = filtered(std::move(signal), hertz, 2.0 * hertz, rate);
    for (int times = 0; times < 3; ++times) {
        signal = filtered(std::move(signal), 80.0, 0.0, rate);
        signal = filtered(std::move(signal), 6000.0, 1e9, rate);
    }
    return signal;
}

/// `signal` for `on` seconds of every `period`.
Signal gated(Signal signal, double on, double period, double rate) {
    for (std::size_t n = 0; n < signal.size(); ++n) {
        if (n % samples_in(period, rate) >= samples_in(on, rate)) signal[n] = 0.0;
    }
    return signal;
}

double variance(const Signal& signal) {
    double mean = 0.0;
    for (const double x : signal)
        mean += x / static_cast<double>(signal.size());
    return mean_square(signal) - mean * mean;
}

}  // namespace

TEST_CASE("IEC 61260-1, 5.14: an exponential sweep leaves the same level in every band") {
    // Class 1 allows 0.4 dB from the computed level (clause and value from memory); ours is 0.3
    // from band to band.
    std::size_t rows = 0;
    double worst = 0.0;
    for (const double rate : {44100.0, 48000.0, 96000.0}) {
        for (const Sweep& sweep : {Sweep{10.0, 0.499 * rate, 20.0}, Sweep{8.0, 0.499 * rate, 5.3},
                                   Sweep{0.499 * rate, 10.0, 11.0}}) {
            CAPTURE(rate);
            CAPTURE(sweep.seconds);
            const auto reading = reading_of(sweep.at(rate), rate);
            const double expected = 20.0 * std::log10(0.5) + sweep.share_of_band(1.0);
            std::optional<LevelFS> below;
            for (const OctaveBand band : octave_bands) {
                // At 44.1 kHz the highest band has no upper edge.
                if (upper_edge(band).Hz() > 0.499 * rate) continue;
                CAPTURE(name_of(band));
                const auto level = reading.octave.at(band);
                REQUIRE(level.has_value());
                CHECK(near(level->dB(), expected, 0.3, Because::OwnTolerance));
                worst = std::max(worst, std::abs(level->dB() - expected));
                if (below) CHECK(near((*level - *below).dB(), 0.0, 0.3, Because::OwnTolerance));
                below = level;
                ++rows;
            }
        }
    }
    MESSAGE("at worst ", worst, " dB from the computed level");
    CHECK(rows == 3 * (9 + 10 + 10));
}

TEST_CASE("IEC 61260-1, 5.14: and in every third-octave band") {
    std::size_t rows = 0;
    const Sweep sweep{10.0, 23900.0, 20.0};
    SpectrumMeter meter{Frequency(48000)};
    meter.add(narrow(sweep.at(48000)));
    const PowerSpectrum spectrum = meter.finish();
    const double half = std::pow(octave_ratio, 1.0 / 6.0);
    for (int third = -16; third <= 13; ++third) {
        const double middle = 1000.0 * std::pow(octave_ratio, third / 3.0);
        CAPTURE(middle);
        const double level = 10.0 * std::log10(band_mean_square(spectrum, Frequency(middle / half),
                                                                Frequency(middle * half)) /
                                               0.125);
        CHECK(near(level, sweep.share_of_band(3.0), 0.3, Because::OwnTolerance));
        ++rows;
    }
    CHECK(rows == 30);
}

TEST_CASE("IEC 61260-1, 5.16: the bands together pass a tone wherever it lies between them") {
    // Summation of output signals: +1.0 / -2.0 dB for class 1 (memory); ours add up to the whole.
    std::size_t rows = 0;
    for (const double rate : {44100.0, 48000.0}) {
        for (double exponent = -4.5; exponent <= 3.5; exponent += 0.25) {
            const double hertz = 1000.0 * std::pow(octave_ratio, exponent);
            CAPTURE(rate);
            CAPTURE(hertz);
            const auto reading = reading_of(sine(hertz, 0.5, 0.8, rate), rate);
            REQUIRE(reading.octave.sum().has_value());
            CHECK(
                near((*reading.octave.sum() - *reading.Z).dB(), 0.0, 0.01, Because::OwnTolerance));
            ++rows;
        }
    }
    CHECK(rows == 2 * 33);
}

TEST_CASE("The sum of the bands is LZeq within 0.1 dB for steady and for pulsed pink noise") {
    std::size_t rows = 0;
    double worst = 0.0;
    for (const double rate : {44100.0, 48000.0, 96000.0}) {
        const Signal white = white_noise(0.9, 6.3, rate, 11);
        const std::vector<std::pair<std::string, Signal>> signals = {
            {"steady", white},
            {"10 ms every 100 ms", gated(white, 0.01, 0.1, rate)},
            {"2 ms every 37 ms", gated(white, 0.002, 0.037, rate)},
            {"1 s on, 1 s off", gated(white, 1.0, 2.0, rate)},
        };
        for (const auto& [name, source] : signals) {
            CAPTURE(rate);
            CAPTURE(name);
            const Signal signal = pink_within_bands(source, rate);
            const auto reading = reading_of(signal, rate);
            REQUIRE(reading.octave.sum().has_value());
            REQUIRE(reading.octave_A.sum().has_value());
            const double Z = 10.0 * std::log10(variance(signal) / 0.5);
            CHECK(near(reading.Z->dB(), Z, 0.001, Because::Arithmetic));
            worst = std::max(worst, std::abs(reading.octave.sum()->dB() - Z));
            CHECK(near(reading.octave.sum()->dB(), Z, 0.1, Because::OwnTolerance));
            CHECK(
                near((*reading.octave_A.sum() - *reading.A).dB(), 0.0, 0.1, Because::OwnTolerance));
            ++rows;
        }
    }
    MESSAGE("at worst ", worst, " dB");
    CHECK(rows == 12);
}
