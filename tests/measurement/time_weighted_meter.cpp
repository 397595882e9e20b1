#include "earbudget/measurement/meters/time_weighted_meter.hpp"

#include <array>
#include <cmath>
#include <numeric>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double level_of_row(float mean_square) {
    const auto level = level_of_mean_square(static_cast<double>(mean_square));
    REQUIRE(level.has_value());
    return level->dB();
}

double sum(const std::vector<float>& values, std::size_t count) {
    return std::accumulate(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(count),
                           0.0);
}

}  // namespace

TEST_CASE("Seconds and short steps hold together what LAeq holds") {
    std::size_t rows = 0;
    for (const double rate : {8000.0, 11025.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
        for (const double seconds : {0.6, 3.0, 4.37, 5.999}) {
            CAPTURE(rate);
            CAPTURE(seconds);
            Signal signal = white_noise(0.5, seconds, rate, 5);
            for (std::size_t n = 0; n < signal.size(); ++n)
                signal[n] *= n % 7919 < 2000 ? 1.0 : 0.05;
            const auto reading = reading_of(signal, rate);
            const TimeWeightedLevels& time = reading.time;
            REQUIRE(time.seconds.size() == samples_in(std::ceil(seconds), 1.0));
            const double whole = static_cast<double>(time.seconds.size()) - 1.0;
            CHECK(near(whole + time.last_second.count(), reading.duration.count(), 1e-9,
                       Because::Arithmetic));
            const double energy =
                sum(time.seconds, time.seconds.size() - 1) +
                static_cast<double>(time.seconds.back()) * time.last_second.count();
            CHECK(near(in_dB(energy / reading.duration.count() / 0.5), reading.A->dB(), 1e-5,
                       Because::Arithmetic));
            // Steps of 50 ms fill whole seconds as well.
            const double step = time.history.step.count();
            CHECK(near(step, 0.05, 0.001, Because::OwnTolerance));
            const auto steps = static_cast<std::size_t>(seconds / step + 1e-6);
            CHECK(time.history.mean_square.size() == steps);
            ++rows;
        }
    }
    CHECK(rows == 28);
}

TEST_CASE("Each second's LAeq is its own, and so is what remains in the end") {
    constexpr std::array<double, 7> steps = {-50.0, -20.0, -30.0, -3.0, -11.3, -21.0, -12.0};
    std::size_t rows = 0;
    for (const double rate : {11025.0, 44100.0, 48000.0, 96000.0}) {
        CAPTURE(rate);
        const auto at = [&](double t) { return steps[static_cast<std::size_t>(t + 1e-9)]; };
        const auto time = reading_of(tone_along(6.28, rate, at), rate).time;
        REQUIRE(time.seconds.size() == steps.size());
        CHECK(near(time.last_second.count(), 0.28, 1e-9, Because::Arithmetic));
        for (std::size_t n = 0; n < steps.size(); ++n) {
            CAPTURE(n);
            // After a step down what rings on has 38 dB less than the second before.
            CHECK(near(level_of_row(time.seconds[n]), steps[n], 0.02, Because::OwnTolerance));
            ++rows;
        }
        for (std::size_t n = 0; n < time.history.mean_square.size(); ++n) {
            const double t = (static_cast<double>(n) + 0.5) * time.history.step.count();
            const double in_second = t - std::floor(t);
            if (in_second < 0.1 || in_second > 0.9) continue;
            CHECK(near(level_of_row(time.history.mean_square[n]), at(t), 0.02,
                       Because::OwnTolerance));
        }
    }
    CHECK(rows == 28);
}

TEST_CASE("What is too short for minima and percentiles has none") {
    const auto shorter = reading_of(sine(carrier, 0.5, 0.9, 48000), 48000).time;
    CHECK(shorter.F_max.has_value());
    CHECK(shorter.S_max.has_value());
    CHECK(!shorter.F_min.has_value());
    CHECK(!shorter.F_exceeded[0].has_value());
    const auto longer = reading_of(sine(carrier, 0.5, 4.9, 48000), 48000).time;
    CHECK(longer.F_min.has_value());
    CHECK(longer.F_exceeded[3].has_value());
    CHECK(!longer.S_min.has_value());
    const auto still = reading_of(silence(6.0, 48000), 48000).time;
    CHECK(!still.F_max.has_value());
    CHECK(!still.S_max.has_value());
    CHECK(!still.F_min.has_value());
    CHECK(!still.F_exceeded[1].has_value());
}

TEST_CASE("Levels in time do not depend on how the signal is cut into blocks") {
    const Signal signal = white_noise(0.5, 6.2, 16000, 3);
    const auto whole = reading_of(signal, 16000, signal.size()).time;
    for (const std::size_t block : {std::size_t{1}, std::size_t{17}, std::size_t{5000}}) {
        const auto parts = reading_of(signal, 16000, block).time;
        CHECK(near((*parts.F_max - *whole.F_max).dB(), 0.0, 1e-9, Because::Arithmetic));
        CHECK(near((*parts.S_min - *whole.S_min).dB(), 0.0, 1e-9, Because::Arithmetic));
        CHECK(parts.seconds == whole.seconds);
        CHECK(parts.history.mean_square == whole.history.mean_square);
    }
}
