// What drives the sound: a waveform at even steps of time.
#include "earbudget/excitation/drive.hpp"

#include <cmath>
#include <complex>
#include <numbers>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/pieces_in_memory.hpp"
#include "support/synthetic_scanner.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double rate = 48'000.0;

std::array<std::vector<float>, gradient_axes> sampled(std::vector<GradientPiece> pieces,
                                                      std::size_t count, double start = 0.0) {
    PiecesInMemory source(std::move(pieces));
    DriveSampler sampler(source, Seconds(start), Seconds(1.0 / rate));
    std::array<std::vector<float>, gradient_axes> samples;
    std::array<std::span<float>, gradient_axes> spans;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        samples[axis].resize(count);
        spans[axis] = samples[axis];
    }
    sampler.read(spans);
    return samples;
}

/// Trapezoids of alternating sign, `period` for two of them, in `x` alone.
std::vector<GradientPiece> trapezoids(double amplitude, double ramp, double flat, int pairs) {
    PulseTrain train;
    for (int n = 0; n < pairs; ++n) {
        train.pulse({amplitude, 0.0, 0.0}, ramp, flat);
        train.pulse({-amplitude, 0.0, 0.0}, ramp, flat);
    }
    return train.pieces();
}

/// Each piece cut in so many.
std::vector<GradientPiece> cut(const std::vector<GradientPiece>& pieces, int parts) {
    std::vector<GradientPiece> result;
    for (const GradientPiece& piece : pieces) {
        for (int part = 0; part < parts; ++part) {
            GradientPiece small = piece;
            small.lasts = piece.lasts / parts;
            small.start = piece.start + part * small.lasts;
            for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
                const double slope = (piece.to[axis] - piece.from[axis]) / parts;
                small.from[axis] = piece.from[axis] + part * slope;
                small.to[axis] = small.from[axis] + slope;
            }
            result.push_back(small);
        }
    }
    return result;
}

}  // namespace

TEST_CASE("the drive of a trapezoid train has the harmonics of its Fourier series") {
    // A function of period T whose slope changes by s at times t has the coefficients
    // −Σ s·e^(−inωt) / (T·(nω)²).
    constexpr double amplitude = 0.02;
    constexpr double ramp = 0.0002;
    constexpr double flat = 0.0006;
    const double period = 2.0 * (2.0 * ramp + flat);  // 2 ms: 96 samples
    constexpr int pairs = 500;
    const auto drive = sampled(trapezoids(amplitude, ramp, flat, pairs), 48'000)[0];
    const double w = 2.0 * std::numbers::pi / period;
    for (const int n : {1, 3, 7, 9, 11}) {
        const double s = amplitude / ramp;
        const double half = period / 2.0;
        std::complex<double> sum = 0.0;
        for (const auto& [time, change] :
             {std::pair{ramp, -s}, {ramp + flat, -s}, {half + ramp, s}, {half + ramp + flat, s}})
            sum += change * std::polar(1.0, -n * w * time);
        const std::complex<double> coefficient = -sum / (n * w * n * w * period);
        std::complex<double> found = 0.0;
        for (std::size_t k = 0; k < drive.size(); ++k)
            found += static_cast<double>(drive[k]) *
                     std::polar(1.0, -n * w * static_cast<double>(k) / rate);
        found /= static_cast<double>(drive.size());
        const double gain = drive_of_gradient(n * w / (2.0 * std::numbers::pi) / rate);
        const std::complex<double> of_gradient = found / std::complex(0.0, gain);
        CAPTURE(n);
        CHECK(
            near(std::abs(of_gradient) / std::abs(coefficient), 1.0, 0.02, Because::FiniteSignal));
        CHECK(near(std::arg(of_gradient / coefficient), 0.0, 0.02, Because::FiniteSignal));
    }
}

TEST_CASE("splitting pieces and the order of axes change nothing") {
    std::mt19937 random(5);
    const auto pieces = drawn_sequence(random, 0.5);
    const auto whole = sampled(pieces, 24'000);
    const auto in_parts = sampled(cut(pieces, 7), 24'000);
    auto turned = pieces;
    for (GradientPiece& piece : turned) {
        piece.from = {piece.from[2], piece.from[0], piece.from[1]};
        piece.to = {piece.to[2], piece.to[0], piece.to[1]};
    }
    const auto other_axes = sampled(turned, 24'000);
    for (std::size_t n = 0; n < 24'000; ++n) {
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            REQUIRE(std::abs(whole[axis][n] - in_parts[axis][n]) < 1e-8F);
            REQUIRE(whole[axis][n] == other_axes[(axis + 1) % gradient_axes][n]);
        }
    }
}

TEST_CASE("the drive sums up to what the gradient is, and ends") {
    PulseTrain train;
    train.pulse({0.01, -0.02, 0.0}, 0.0001, 0.01);
    PiecesInMemory source(train.pieces());
    DriveSampler sampler(source, Seconds(-0.002), Seconds(1.0 / rate));
    std::array<std::vector<float>, gradient_axes> samples;
    std::array<std::span<float>, gradient_axes> spans;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        samples[axis].resize(400);
        spans[axis] = samples[axis];
    }
    sampler.read(spans);  // into the plateau
    CHECK_FALSE(sampler.has_ended());
    double sum = 0.0;
    for (const float value : samples[1])
        sum += static_cast<double>(value);
    CHECK(sum == doctest::Approx(-0.02).epsilon(1e-6));
    sampler.read(spans);
    for (const float value : samples[1])
        sum += static_cast<double>(value);
    CHECK(std::abs(sum) < 1e-8);
    CHECK(sampler.has_ended());
    CHECK(sampler.end().count() == doctest::Approx(0.0102));
}
