#include "earbudget/measurement/meters/clipping_meter.hpp"

#include <doctest/doctest.h>

#include "measurement/clipped.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("Three consecutive samples at full scale of an integer format are clipping") {
    const double top = 1.0 - step_16;
    CHECK(clipping_of({0.0, top, top, 0.0, top, 0.0}, bits_16).stretches == 0);
    CHECK(clipping_of({0.0, top, top, top, top, 0.0}, bits_16).stretches == 1);
    CHECK(clipping_of({0.0, -1.0, top, -1.0, 0.0}, bits_16).stretches == 1);
    CHECK(clipping_of({0.0, top - step_16, top, top - step_16, 0.0}, bits_16).stretches == 0);
    CHECK(!clipping_of({0.0, top, top, top, top, 0.0}, bits_16).below_full_scale);
}

TEST_CASE("Stretches are counted and the first is located, in blocks of any size") {
    Signal signal(1000, 0.0);
    for (const std::size_t begin : {std::size_t{10}, std::size_t{500}, std::size_t{997}}) {
        for (std::size_t n = begin; n < begin + 3; ++n)
            signal[n] = 1.0;
    }
    for (const std::size_t block : block_sizes) {
        const Clipping clipping = clipping_of(signal, bits_16, block);
        CHECK(clipping.stretches == 3);
        CHECK(clipping.first_sample == 10);
        CHECK(near(clipping.at, 1.0 - step_16, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("A floating-point recording is clipped where it is flat, not where it is loud") {
    CHECK(clipping_of({0.0, 1.2, 1.5, 1.3, 0.0}, floating).stretches == 0);
    CHECK(clipping_of({0.0, 1.0, 1.0, 1.0, 0.0}, floating).stretches == 1);
    CHECK(clipping_of({0.0, 1.5, 1.5, 1.5, 0.0}, floating).stretches == 1);
    CHECK(clipping_of({0.0, 0.5, 0.5, 0.5, 0.0}, floating).stretches == 0);
    // 16-bit clipping in a 24-bit or floating-point container.
    const double top = 1.0 - step_16;
    CHECK(clipping_of({0.0, top, top, top, 0.0}, floating).stretches == 1);
}

TEST_CASE("Silence, gaps of zeros and a clean full-scale tone are not clipped") {
    CHECK(clipping_of(silence(0.1, 48000), bits_16).stretches == 0);
    CHECK(clipping_of(sine(1000, 1.0 - step_16, 0.1, 48000), bits_16).stretches == 0);
    Signal gaps = smooth_noise(1.0, 48000);
    for (double& x : gaps)
        x = std::abs(x);  // zero is the lowest value
    for (std::size_t n = 0; n < gaps.size(); ++n) {
        if (n / 1000 % 3 == 1) gaps[n] = 0.0;
    }
    for (const SampleFormat& format : sample_formats)
        CHECK(clipping_of(gaps, format).stretches == 0);
}

TEST_CASE("The crests of low tones are flat by rounding and not clipped") {
    std::size_t rows = 0;
    for (const SampleFormat& format : sample_formats) {
        CAPTURE(format.name);
        for (const double rate : sampling_rates) {
            for (const double hertz : {20.0, 25.0, 31.5, 63.0, 250.0}) {
                for (const double amplitude : {0.0003, 0.012, 0.11, 0.5, 0.98}) {
                    CAPTURE(rate);
                    CAPTURE(hertz);
                    CAPTURE(amplitude);
                    Signal tone = sine(hertz, amplitude, 0.15, rate, 0.2);
                    CHECK(clipping_of(tone, format).stretches == 0);
                    // A third harmonic that makes crests flatter than a parabola.
                    tone = 0.9 * tone + sine(3 * hertz, 0.1 * amplitude, 0.15, rate, 0.6);
                    CHECK(clipping_of(tone, format).stretches == 0);
                    // Rounding with a little noise before it.
                    tone = 0.9 * tone + white_noise(0.5 * step_16, 0.15, rate);
                    CHECK(clipping_of(tone, format).stretches == 0);
                    ++rows;
                }
            }
        }
    }
    CHECK(rows == 4 * 8 * 5 * 5);
}

TEST_CASE("Noise of a few codes is not clipped, also beside a constant offset") {
    for (const double offset : {0.0, 0.1}) {
        for (const double codes : {0.6, 1.0, 3.0, 10.0, 50.0}) {
            CAPTURE(codes);
            const Signal noise = raised(white_noise(codes * step_16, 5.0, 48000), offset);
            for (const SampleFormat& format : sample_formats)
                CHECK(clipping_of(noise, format).stretches == 0);
        }
    }
}
