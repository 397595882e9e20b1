#include <array>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/clipping_meter.hpp"
#include "measurement/clipped.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("What passed a limiter is clipped wherever gain and offset put the limit") {
    std::size_t rows = 0;
    for (const SampleFormat& format : {bits_16, bits_24, floating}) {
        CAPTURE(format.name);
        for (const double rate : sampling_rates) {
            const std::array<Signal, 4> whole = {
                sine(440, 1.0, 0.4, rate, 0.3), sine(50, 1.0, 0.4, rate, 0.3),
                smooth_noise(0.4, rate), faded(smooth_noise(0.4, rate), 0.1, rate)};
            for (std::size_t kind = 0; kind < whole.size(); ++kind) {
                const double peak = *std::max_element(whole[kind].begin(), whole[kind].end());
                for (const double limit : {0.0101, 0.05, 0.5, 0.9}) {
                    CAPTURE(rate);
                    CAPTURE(kind);
                    CAPTURE(limit);
                    const Signal cut = limited(limit / (0.7 * peak) * whole[kind], -limit, limit);
                    const Clipping clipping = clipping_of(cut, format);
                    CHECK(clipping.stretches >= 2);
                    CHECK(clipping.below_full_scale);
                    CHECK(near(clipping.at, limit, 0.5 * step_16, Because::Arithmetic));
                    ++rows;
                }
            }
        }
    }
    CHECK(rows == 3 * 8 * 4 * 4);
}

TEST_CASE("The two limits may differ, and one alone is enough") {
    const Signal tone = sine(440, 0.6, 0.5, 44100);
    for (const SampleFormat& format : {bits_16, bits_24, floating}) {
        const auto both = clipping_of(limited(tone, -0.5, 0.25), format);
        const auto one = clipping_of(limited(tone, -1.0, 0.25), format);
        const auto other = clipping_of(limited(tone, -0.5, 1.0), format);
        CHECK(both.stretches == one.stretches + other.stretches);
        CHECK(one.stretches == 220);  // every crest of 0.5 s
        CHECK(other.stretches == 220);
        CHECK(near(one.at, 0.25, 1e-9, Because::Arithmetic));
        CHECK(near(other.at, 0.5, 1e-9, Because::Arithmetic));
        const auto lifted = clipping_of(raised(limited(tone, -0.5, 0.25), 0.125), format);
        CHECK(lifted.stretches == both.stretches);
        CHECK(near(lifted.at, 0.375, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("One flat top of four samples is clipping, of three only two are") {
    const auto with_tops = [](std::size_t tops, std::size_t length) {
        Signal signal = smooth_noise(0.1, 48000);
        for (std::size_t k = 0; k < tops; ++k)
            std::fill_n(signal.begin() + 1000 + static_cast<std::ptrdiff_t>(500 * k), length, 0.8);
        return clipping_of(signal, bits_24);
    };
    CHECK(with_tops(1, 3).stretches == 0);
    CHECK(with_tops(1, 4).stretches == 1);
    CHECK(with_tops(1, 4).first_sample == 1000);
    CHECK(with_tops(2, 3).stretches == 2);
    CHECK(with_tops(5, 2).stretches == 0);
}

TEST_CASE("A signal that later rises above its flat tops was not cut off there") {
    const Signal flat = limited(sine(440, 0.6, 0.5, 48000), -0.5, 0.5);
    REQUIRE(clipping_of(flat, bits_16).stretches > 0);
    CHECK(clipping_of(followed_by(flat, sine(440, 0.51, 0.5, 48000)), bits_16).stretches == 0);
    CHECK(clipping_of(followed_by(sine(440, 0.51, 0.5, 48000), flat), bits_16).stretches == 0);
    // A limit above it is the one that counts.
    const auto louder = clipping_of(followed_by(flat, 1.5 * flat), bits_16);
    CHECK(near(louder.at, 0.75, step_16, Because::Arithmetic));
    CHECK(louder.first_sample >= flat.size());
    // Tops within a code are one limit.
    const auto drifting = clipping_of(followed_by(flat, (1.0 + step_16) * flat), bits_16);
    CHECK(drifting.stretches == 2 * clipping_of(flat, bits_16).stretches);
    // Full scale counts whatever comes later, and before all else.
    const auto full = clipping_of(followed_by(flat, Signal(3, 1.0)), floating);
    CHECK(full.stretches == 1);
    CHECK(!full.below_full_scale);
}

TEST_CASE("Sign, gain and blocks change nothing") {
    for (const SampleFormat& format : sample_formats) {
        for (std::uint64_t seed = 1; seed <= 20; ++seed) {
            const double limit = 0.05 * static_cast<double>(seed);
            const Signal signal =
                limited(2.0 * smooth_noise(0.1, 48000, seed), -limit, 1.1 * limit);
            const Clipping once = clipping_of(signal, format, 1U << 20);
            for (const std::size_t block : block_sizes)
                CHECK(same(clipping_of(signal, format, block), once));
            if (limit > 0.8) continue;  // full scale is a code nearer on the positive side
            CHECK(same(clipping_of(-1.0 * signal, format), once));
            if (format.quantization || limit < 0.2) continue;
            CHECK(once.below_full_scale);
            const Clipping quieter = clipping_of(0.25 * signal, format);
            CHECK(quieter.stretches == once.stretches);
            CHECK(quieter.first_sample == once.first_sample);
            CHECK(near(quieter.at, 0.25 * once.at, 1e-9, Because::Arithmetic));
        }
    }
}

TEST_CASE("A quiet recording of few codes that was amplified is not clipped") {
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        Signal slow = white_noise(1.0, 1.0, 48000, seed);
        double once = 0.0;
        double twice = 0.0;
        for (double& x : slow) {
            once += 0.02 * (x - once);
            x = twice += 0.02 * (once - twice);
        }
        const double peak = *std::max_element(slow.begin(), slow.end());
        for (const double codes : {6.0, 20.0, 60.0}) {
            Signal quiet = codes / peak * slow;
            for (double& x : quiet)
                x = std::round(x) * step_16;
            for (const double gain : {10.0, 33.3, 100.0}) {
                CAPTURE(codes);
                CAPTURE(gain);
                CHECK(clipping_of(gain * quiet, floating).stretches == 0);
                CHECK(clipping_of(gain * quiet, bits_24).stretches == 0);
            }
        }
    }
}

TEST_CASE("A square wave is a signal of few values, not a cut-off one") {
    Signal square = sine(500, 1.0, 0.2, 48000, 0.1);
    for (double& x : square)
        x = x > 0.0 ? 0.5 : -0.5;
    for (const SampleFormat& format : sample_formats)
        CHECK(clipping_of(square, format).stretches == 0);
    // With an edge that takes time to rise it is cut off.
    CHECK(clipping_of(limited(sine(500, 3.0, 0.2, 48000, 0.1), -0.5, 0.5), floating).stretches > 0);
}
