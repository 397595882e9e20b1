#include "earbudget/measurement/meters/peak_meter.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

#include "measurement/meters/block_scan.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

PeakMeter peak_of(std::span<const double> signal, std::size_t block = 4096) {
    PeakMeter meter;
    const Samples samples = narrow(signal);
    for (std::span<const float> rest = samples; !rest.empty();) {
        const auto part = rest.first(std::min(block, rest.size()));
        meter.add(part);
        rest = rest.subspan(part.size());
    }
    return meter;
}

double error_dB(double value) { return 20.0 * std::log10(value); }

}  // namespace

TEST_CASE("The crest of a tone is found between samples") {
    constexpr double rate = 48000;
    // As parts of the sampling rate; at these every sample may miss the crest for ever.
    constexpr std::array<double, 6> parts = {1.0 / 48, 1.0 / 12, 1.0 / 6, 0.25, 1.0 / 3, 0.4};
    std::size_t rows = 0;
    for (const double part : parts) {
        for (const double phase : {0.0, 0.3, std::numbers::pi * part, 2.0}) {
            CAPTURE(part);
            CAPTURE(phase);
            const auto meter = peak_of(sine(part * rate, 1.0, 0.1, rate, phase));
            CHECK(near(error_dB(meter.highest()), 0.0, 0.05, Because::OwnTolerance));
            CHECK(near(error_dB(-meter.lowest()), 0.0, 0.05, Because::OwnTolerance));
            ++rows;
        }
    }
    CHECK(rows == 24);
}

TEST_CASE("Samples alone would miss the crest of 8 kHz by over 1 dB") {
    const Signal tone = sine(8000, 1.0, 0.1, 48000, std::numbers::pi / 6);
    const double highest_sample = *std::max_element(tone.begin(), tone.end());
    CHECK(near(error_dB(highest_sample), 0.0, 0.001, Because::Arithmetic));
    const Signal between = sine(8000, 1.0, 0.1, 48000, 0.0);
    const double missed = *std::max_element(between.begin(), between.end());
    CHECK(near(error_dB(missed), -1.25, 0.001, Because::Arithmetic));
}

TEST_CASE("A crest between samples is found although another sample is higher") {
    // At a quarter of the sampling rate and 45 degrees the samples reach 0.707 of the crest.
    const Signal low = sine(100, 0.8, 0.1, 48000);
    const Signal high = faded(sine(12000, 1.0, 0.02, 48000, std::numbers::pi / 4), 0.005, 48000);
    const auto meter = peak_of(followed_by(low, high));
    CHECK(near(error_dB(meter.highest()), 0.0, 0.05, Because::OwnTolerance));
    CHECK(near(error_dB(-meter.lowest()), 0.0, 0.05, Because::OwnTolerance));
}

TEST_CASE("Peaks do not depend on how the signal is cut into blocks") {
    const Signal noise = white_noise(0.5, 1.0, 48000);
    const auto whole = peak_of(noise, noise.size());
    for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{4096}}) {
        const auto parts = peak_of(noise, block);
        CHECK(near(parts.highest(), whole.highest(), 0.0, Because::Arithmetic));
        CHECK(near(parts.lowest(), whole.lowest(), 0.0, Because::Arithmetic));
    }
}

TEST_CASE("A signal that begins or ends in mid-wave has no false crest there") {
    // A step to 1 at either end of the recording, interpolated with zeros beyond, would overshoot.
    const auto meter = peak_of(sine(1000, 1.0, 0.1, 48000, std::numbers::pi / 2));
    CHECK(near(meter.highest(), 1.0, 1e-4, Because::Arithmetic));
    const auto constant = peak_of(Signal(1000, 0.5));
    CHECK(near(constant.highest(), 0.5, 1e-12, Because::Arithmetic));
    CHECK(near(constant.lowest(), 0.5, 1e-12, Because::Arithmetic));
}

TEST_CASE("A single sample at either end counts") {
    Signal signal(200, 0.0);
    signal.front() = 0.7;
    signal.back() = -0.6;
    const auto meter = peak_of(signal, 64);
    CHECK(meter.highest() >= 0.699999);
    CHECK(meter.lowest() <= -0.599999);
}

TEST_CASE("Extremes are right for a few samples, an offset and nothing at all") {
    CHECK(near(PeakMeter().highest(), 0.0, 0.0, Because::Arithmetic));
    const auto few = peak_of(Signal{-3.0, -5.0});
    CHECK(near(few.highest(), -3.0, 0.0, Because::Arithmetic));
    CHECK(near(few.lowest(), -5.0, 0.0, Because::Arithmetic));
    Signal shifted = sine(8000, 1.0, 0.1, 48000);
    for (double& x : shifted)
        x -= 100.0;
    const auto meter = peak_of(shifted);
    CHECK(near(meter.highest(), -99.0, 0.006, Because::OwnTolerance));
    CHECK(near(meter.lowest(), -101.0, 0.006, Because::OwnTolerance));
}
