#include "earbudget/measurement/meters/dropout_meter.hpp"

#include <doctest/doctest.h>

#include "measurement/formats.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Dropouts dropouts_of(const Signal& signal, double rate, const SampleFormat& format,
                     std::size_t block = 4096) {
    DropoutMeter meter(Frequency(rate), format.quantization);
    add_in_blocks(meter, recorded(signal, format), block);
    return meter.dropouts();
}

bool same(const Dropouts& a, const Dropouts& b) {
    return a.count == b.count && a.first_sample == b.first_sample && a.longest == b.longest &&
           a.total == b.total;
}

/// Zeros, or the value at `begin` held.
Signal with_gap(Signal signal, std::size_t begin, std::size_t length, bool held = false) {
    std::fill_n(signal.begin() + static_cast<std::ptrdiff_t>(begin), length,
                held ? signal[begin] : 0.0);
    return signal;
}

std::size_t shortest_at(double rate) {
    return std::max(std::size_t{8}, static_cast<std::size_t>(std::ceil(0.001 * rate)));
}

/// Noise whose samples around the gaps of these tests stand clear of zero and of its extremes.
Signal noise_around_gaps(double rate) { return white_noise(0.5, 1.0, rate, 7); }

}  // namespace

TEST_CASE("Stretches of zeros or of a held value from 1 ms up are found and measured") {
    std::size_t rows = 0;
    for (const SampleFormat& format : sample_formats) {
        for (const double rate : sampling_rates) {
            for (const bool held : {false, true}) {
                CAPTURE(format.name);
                CAPTURE(rate);
                CAPTURE(held);
                const std::size_t shortest = shortest_at(rate);
                Signal signal = with_gap(noise_around_gaps(rate), 1000, shortest, held);
                signal = with_gap(signal, 4100, 3 * shortest, held);
                const Dropouts found = dropouts_of(signal, rate, format);
                CHECK(found.count == 2);
                CHECK(found.first_sample == 1000);
                const double second = 1.0 / rate;
                const auto length = static_cast<double>(shortest);
                // Noise in 8 bits can hold the gap's value just beside it.
                const double by_chance = format.quantization ? 2.1 * second : 1e-9;
                CHECK(near(found.longest.count(), 3.0 * length * second, by_chance,
                           Because::SeededRandomness));
                CHECK(near(found.total.count(), 4.0 * length * second, by_chance,
                           Because::SeededRandomness));
                ++rows;
            }
        }
    }
    CHECK(rows == 4 * 8 * 2);
}

TEST_CASE("A stretch one sample too short is no dropout") {
    for (const double rate : sampling_rates) {
        CAPTURE(rate);
        const Signal noise = noise_around_gaps(rate);
        CHECK(dropouts_of(with_gap(noise, 1000, shortest_at(rate) - 1), rate, floating).count == 0);
        CHECK(dropouts_of(with_gap(noise, 1000, shortest_at(rate)), rate, floating).count == 1);
    }
}

TEST_CASE("Undamaged noise and tones have no dropouts, whatever the format") {
    for (const SampleFormat& format : sample_formats) {
        for (const double rate : sampling_rates) {
            for (const double amplitude : {0.0003, 0.012, 0.5, 0.98}) {
                CAPTURE(format.name);
                CAPTURE(rate);
                CAPTURE(amplitude);
                CHECK(dropouts_of(white_noise(amplitude, 0.5, rate), rate, format).count == 0);
                CHECK(dropouts_of(sine(20, amplitude, 0.5, rate), rate, format).count == 0);
                CHECK(dropouts_of(sine(997, amplitude, 0.5, rate), rate, format).count == 0);
            }
        }
    }
}

TEST_CASE("A quiet background of a few codes has no dropouts") {
    for (const double codes : {0.5, 0.51, 0.6, 1.0, 2.0, 3.0}) {
        CAPTURE(codes);
        const Signal background = white_noise(codes * step_16, 5.0, 48000);
        CHECK(dropouts_of(background, 48000, bits_16).count == 0);
        CHECK(dropouts_of(background, 48000, bits_24).count == 0);
        CHECK(dropouts_of(background, 48000, floating).count == 0);
    }
}

TEST_CASE("The step at one end must be eight codes, at least of 16 bits") {
    const auto gap_between = [](double before, double after, const SampleFormat& format) {
        Signal signal = sine(100, 0.1, 0.1, 48000);
        signal = followed_by(signal, {before});
        signal = followed_by(signal, silence(0.002, 48000));
        signal = followed_by(signal, {after});
        return dropouts_of(followed_by(signal, sine(100, 0.1, 0.1, 48000)), 48000, format).count;
    };
    for (const SampleFormat& format : {bits_16, bits_24, floating}) {
        CHECK(gap_between(8 * step_16, step_16, format) == 1);
        CHECK(gap_between(step_16, -8 * step_16, format) == 1);
        CHECK(gap_between(7 * step_16, -7 * step_16, format) == 0);
    }
    CHECK(gap_between(0x1p-4, 0x1p-7, bits_8) == 1);
    CHECK(gap_between(0x1p-5, -0x1p-5, bits_8) == 0);
}

TEST_CASE("Silence at the very start and end is trimming, within a recording it is a dropout") {
    const Signal burst = sine(1000, 0.5, 0.1, 48000, 1.0);
    const Signal gap = silence(0.5, 48000);
    CHECK(dropouts_of(followed_by(followed_by(gap, burst), gap), 48000, bits_16).count == 0);
    CHECK(dropouts_of(gap, 48000, bits_16).count == 0);
    const Dropouts one = dropouts_of(followed_by(followed_by(burst, gap), burst), 48000, bits_16);
    CHECK(one.count == 1);
    CHECK(one.first_sample == burst.size());
    CHECK(near(one.longest.count(), 0.5, 1e-9, Because::Arithmetic));
}

TEST_CASE("The flat tops of a signal that was cut off are no dropouts") {
    Signal tone = sine(50, 1.0, 1.0, 48000);
    for (double& x : tone)
        x = std::clamp(x, -0.4, 0.5);
    CHECK(dropouts_of(tone, 48000, bits_8).count == 0);
    for (const SampleFormat& format : {bits_16, bits_24, floating}) {
        CAPTURE(format.name);
        CHECK(dropouts_of(tone, 48000, format).count == 0);
        // They are when the signal goes on above them: nothing was cut off there.
        const Signal louder = followed_by(tone, sine(50, 0.6, 0.1, 48000));
        CHECK(dropouts_of(louder, 48000, format).count == 100);
        const Signal higher = followed_by(tone, Signal{0.2, 0.7, 0.2});
        CHECK(dropouts_of(higher, 48000, format).count == 50);
        CHECK(dropouts_of(followed_by(tone, 1.5 * tone), 48000, format).count == 100);
    }
}

TEST_CASE("Zeros are a dropout also where nothing lies below them") {
    Signal positive = white_noise(0.2, 0.2, 48000);
    for (double& x : positive)
        x += 0.3;
    CHECK(dropouts_of(with_gap(positive, 1000, 100), 48000, bits_16).count == 1);
    CHECK(dropouts_of(-1.0 * with_gap(positive, 1000, 100), 48000, bits_16).count == 1);
}

TEST_CASE("Sign and blocks change nothing") {
    std::uint64_t found = 0;
    for (const SampleFormat& format : sample_formats) {
        for (std::size_t k = 0; k < 20; ++k) {
            CAPTURE(format.name);
            CAPTURE(k);
            Signal signal = white_noise(0.4, 0.1, 8000, k + 1);
            signal = with_gap(signal, 37 * k, 5 + k, k % 2 == 0);
            signal = with_gap(signal, 750, 2 * k, k % 3 == 0);
            const Dropouts once = dropouts_of(signal, 8000, format, 1U << 20);
            found += once.count;
            for (const std::size_t block : block_sizes)
                CHECK(same(dropouts_of(signal, 8000, format, block), once));
            CHECK(same(dropouts_of(-1.0 * signal, 8000, format), once));
        }
    }
    CHECK(found > 100);
}
