#include "earbudget/measurement/meters/channel_analyser.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Every level of a reading in a fixed order; the test fails when one is absent.
std::vector<double> all_levels(const ChannelReading& reading) {
    std::vector<double> levels;
    for (const auto& level : {reading.A, reading.C, reading.Z, reading.C_peak, reading.Z_peak}) {
        REQUIRE(level.has_value());
        levels.push_back(level->dB());
    }
    for (const OctaveBand band : octave_bands) {
        for (const auto& octave : {reading.octave, reading.octave_A}) {
            if (const auto level = octave.at(band)) levels.push_back(level->dB());
        }
    }
    return levels;
}

void check_same(const ChannelReading& a, const ChannelReading& b, double shift, double tolerance) {
    const auto levels_a = all_levels(a);
    const auto levels_b = all_levels(b);
    REQUIRE(levels_a.size() == levels_b.size());
    REQUIRE(levels_a.size() >= 5 + 14);
    for (std::size_t n = 0; n < levels_a.size(); ++n) {
        CAPTURE(n);
        CHECK(near(levels_b[n] - levels_a[n], shift, tolerance, Because::Arithmetic));
    }
}

Signal pulses(double rate) {
    Signal signal = white_noise(0.5, 4.0, rate, 7);
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double phase = std::fmod(static_cast<double>(n) / rate, 0.5);
        if (phase > 0.03) signal[n] *= 0.01;
    }
    return signal;
}

}  // namespace

TEST_CASE("A full-scale 1 kHz sine reads 0 dB in A, C and Z, and 3.01 dB as a peak") {
    std::size_t rows = 0;
    for (const double rate : sampling_rates) {
        CAPTURE(rate);
        const auto reading = reading_of(sine(1000, 1.0, 2.0, rate), rate);
        CHECK(near(reading.A->dB(), 0.0, 0.005, Because::OwnTolerance));
        CHECK(near(reading.C->dB(), 0.0, 0.005, Because::OwnTolerance));
        CHECK(near(reading.Z->dB(), 0.0, 0.001, Because::OwnTolerance));
        CHECK(near(reading.C_peak->dB(), 3.01, 0.01, Because::OwnTolerance));
        CHECK(near(reading.Z_peak->dB(), 3.01, 0.01, Because::OwnTolerance));
        CHECK(near(reading.octave.at(OctaveBand::Hz1000)->dB(), 0.0, 0.005, Because::OwnTolerance));
        CHECK(
            near(reading.octave_A.at(OctaveBand::Hz1000)->dB(), 0.0, 0.005, Because::OwnTolerance));
        CHECK(near(reading.duration.count(), 2.0, 1e-9, Because::Arithmetic));
        ++rows;
    }
    CHECK(rows == 8);
}

TEST_CASE("Readings do not depend on how the signal is cut into blocks") {
    const Signal signal = pulses(16000);
    const auto whole = reading_of(signal, 16000, signal.size());
    for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{4096}}) {
        check_same(whole, reading_of(signal, 16000, block), 0.0, 1e-9);
    }
}

TEST_CASE("Twice the amplitude is 6.02 dB more everywhere") {
    const Signal signal = pulses(44100);
    check_same(reading_of(signal, 44100), reading_of(2.0 * signal, 44100), 20.0 * std::log10(2.0),
               1e-6);
    check_same(reading_of(signal, 44100), reading_of(-1e-6 * signal, 44100), -120.0, 1e-4);
}

TEST_CASE("A constant offset changes nothing") {
    const Signal signal = pulses(48000);
    for (const double offset : {0.3, -20.0}) {
        Signal shifted = signal;
        for (double& x : shifted)
            x += offset;
        check_same(reading_of(signal, 48000), reading_of(shifted, 48000), 0.0, 1e-6);
    }
}

TEST_CASE("Octave bands together hold what LZeq holds, for steady and for pulsed noise") {
    // White noise that falls off at both ends, so that nothing lies outside the bands.
    const auto in_band = [](Signal signal) {
        const auto one_pole = [](Signal x, double hertz, double zero) {
            const double pole = std::exp(-2.0 * std::numbers::pi * hertz / 48000.0);
            double in = 0.0;
            double out = 0.0;
            for (double& value : x) {
                out = value - zero * in + pole * out;
                in = std::exchange(value, out);
            }
            return x;
        };
        for (int twice = 0; twice < 2; ++twice)
            signal = one_pole(std::move(signal), 400.0, 1.0);
        for (int times = 0; times < 4; ++times)
            signal = one_pole(std::move(signal), 1000.0, 0.0);
        return signal;
    };
    std::size_t rows = 0;
    for (const Signal& signal : {in_band(white_noise(0.5, 4.0, 48000)), in_band(pulses(48000))}) {
        const auto reading = reading_of(signal, 48000);
        CHECK(near((*reading.octave.sum() - *reading.Z).dB(), 0.0, 0.05, Because::OwnTolerance));
        CHECK(near((*reading.octave_A.sum() - *reading.A).dB(), 0.0, 0.05, Because::OwnTolerance));
        ++rows;
    }
    CHECK(rows == 2);
}

TEST_CASE("Channels are read apart from one another") {
    const Signal left = pulses(16000);
    const Signal right = 0.1 * white_noise(0.5, 4.0, 16000, 99);
    MemorySource together({left, right, silence(4.0, 16000)}, 16000);
    const auto readings = read_channels(together);
    REQUIRE(readings.size() == 3);
    check_same(readings[0], reading_of(left, 16000), 0.0, 1e-12);
    check_same(readings[1], reading_of(right, 16000), 0.0, 1e-12);
    CHECK(!readings[2].Z.has_value());
}

TEST_CASE("Silence, a constant and nothing at all have no level") {
    for (const Signal& signal : {silence(1.5, 48000), Signal{}, Signal{0.0}}) {
        const auto reading = reading_of(signal, 48000);
        for (const auto& level :
             {reading.A, reading.C, reading.Z, reading.C_peak, reading.Z_peak}) {
            CHECK(!level.has_value());
        }
        CHECK(reading.octave.empty());
        CHECK(reading.octave_A.empty());
    }
    const auto constant = reading_of(Signal(100000, 0.1), 48000);
    for (const auto& level : {constant.A, constant.C, constant.Z, constant.C_peak}) {
        CHECK((!level.has_value() || level->dB() < -250.0));
    }
}

TEST_CASE("Energies of two moments add up") {
    // 2 s of sound and 6 s of silence: a quarter of the energy a second.
    const Signal sound = faded(white_noise(0.5, 2.0, 48000), 0.1, 48000);
    const auto alone = reading_of(sound, 48000);
    const auto longer = reading_of(followed_by(sound, silence(6.0, 48000)), 48000);
    const double quarter = 10.0 * std::log10(0.25);
    CHECK(near((*longer.A - *alone.A).dB(), quarter, 0.001, Because::FiniteSignal));
    CHECK(near((*longer.C - *alone.C).dB(), quarter, 0.001, Because::FiniteSignal));
    CHECK(near((*longer.Z - *alone.Z).dB(), quarter, 0.001, Because::FiniteSignal));
    // Where the recording ends in mid-sound its spectrum is taken from a little further inside.
    CHECK(near((*longer.octave.at(OctaveBand::Hz1000) - *alone.octave.at(OctaveBand::Hz1000)).dB(),
               quarter, 0.05, Because::FiniteSignal));
}
