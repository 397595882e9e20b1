// Levels exceeded for part of the time: the percentiles of TimeWeightedMeter.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/time_weighted_meter.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double tau_F = 0.125;
/// Percentiles of F in the order of exceeded_percent.
std::vector<double> percentiles(const TimeWeightedLevels& levels) {
    std::vector<double> result;
    for (const auto& level : levels.F_exceeded) {
        REQUIRE(level.has_value());
        result.push_back(level->dB());
    }
    return result;
}

/// F of bursts in a steady rhythm, relative to the steady level, at equally spaced moments of a
/// period, from the highest down.
std::vector<double> falling_F(double burst, double period) {
    const double highest = std::expm1(-burst / tau_F) / std::expm1(-period / tau_F);
    const double lowest = highest * std::exp((burst - period) / tau_F);
    std::vector<double> levels(10000);
    for (std::size_t n = 0; n < levels.size(); ++n) {
        const double t = period * (static_cast<double>(n) + 0.5) / 10000.0;
        levels[n] = in_dB(t < burst ? 1.0 - (1.0 - lowest) * std::exp(-t / tau_F)
                                    : highest * std::exp((burst - t) / tau_F));
    }
    std::ranges::sort(levels, std::greater());
    return levels;
}

}  // namespace

TEST_CASE("LAF10, LAF50, LAF90 and LAF95 of two levels follow from the time at each") {
    constexpr double rate = 16000;
    constexpr double high = -10.0, low = -40.0;
    // Counted from 1 s on: 40 s, of which the high level lasts a part.
    struct Row {
        double part;
        std::array<bool, 4> high;
    };
    constexpr std::array<Row, 5> rows = {{{0.05, {false, false, false, false}},
                                          {0.2, {true, false, false, false}},
                                          {0.6, {true, true, false, false}},
                                          {0.92, {true, true, true, false}},
                                          {0.97, {true, true, true, true}}}};
    std::size_t checked = 0;
    for (const Row& row : rows) {
        CAPTURE(row.part);
        const double change = 1.0 + 40.0 * row.part;
        const auto signal =
            tone_along(41.0, rate, [&](double t) { return t < change ? high : low; });
        const auto exceeded = percentiles(reading_of(signal, rate).time);
        for (std::size_t n = 0; n < exceeded_percent.size(); ++n) {
            CAPTURE(exceeded_percent[n]);
            // F falls along low + (high - low)·e^(-t/τ), so that it may not have arrived yet.
            const double since = 1.0 + 0.4 * exceeded_percent[n] - change;
            const double above = std::pow(10.0, (high - low) / 10.0) - 1.0;
            const double expected =
                row.high[n] ? high : low + in_dB(1.0 + above * std::exp(-since / tau_F));
            CHECK((since < 0.0) == row.high[n]);
            CHECK(near(exceeded[n], expected, 0.05, Because::OwnTolerance));
        }
        ++checked;
    }
    CHECK(checked == rows.size());
}

TEST_CASE("LAF10, LAF50, LAF90 and LAF95 of a level that rises or falls steadily") {
    constexpr double seconds = 41.0;
    std::size_t checked = 0;
    for (const double rate : {16000.0, 44100.0}) {
        for (const double slope : {1.0, -1.0, 1.5, -1.5}) {
            CAPTURE(rate);
            CAPTURE(slope);
            const double from = slope > 0.0 ? -70.0 : -5.0;
            const auto time =
                reading_of(tone_along(seconds, rate, [&](double t) { return from + slope * t; }),
                           rate)
                    .time;
            // F follows an energy e^(at) at 1 / (1 + aτ) of it.
            const double lag = in_dB(1.0 + slope / in_dB(std::numbers::e) * tau_F);
            const double highest = from + slope * (slope > 0.0 ? seconds : 1.0) - lag;
            const auto exceeded = percentiles(time);
            for (std::size_t n = 0; n < exceeded.size(); ++n) {
                const double expected =
                    highest - std::abs(slope) * (seconds - 1.0) * exceeded_percent[n] / 100.0;
                // Three hundredths are the classes of levels, the rest is when F is looked at.
                CHECK(near(exceeded[n], expected, 0.05, Because::OwnTolerance));
            }
            REQUIRE(time.F_min.has_value());
            CHECK(near(time.F_min->dB(), highest - std::abs(slope) * (seconds - 1.0), 0.05,
                       Because::OwnTolerance));
            ++checked;
        }
    }
    CHECK(checked == 8);
}

TEST_CASE("LAF10, LAF50, LAF90 and LAF95 of tonebursts in a steady rhythm") {
    constexpr double rate = 48000;
    struct Row {
        double burst, period;
    };
    // Rhythms that a look at F every few milliseconds could fall in step with.
    constexpr std::array<Row, 4> rows = {{{0.01, 0.1}, {0.01, 0.08}, {0.02, 0.07}, {0.005, 0.05}}};
    std::size_t checked = 0;
    for (const Row& row : rows) {
        CAPTURE(row.period);
        const auto reading = reading_of(tone_along(20.0, rate,
                                                   [&](double t) {
                                                       const double in_period =
                                                           std::fmod(t + 1e-9, row.period);
                                                       return in_period < row.burst ? -6.0 : -160.0;
                                                   }),
                                        rate);
        // The weighting takes a little off such short bursts.
        const double burst_level = reading.A->dB() - in_dB(row.burst / row.period);
        const auto expected = falling_F(row.burst, row.period);
        const auto exceeded = percentiles(reading.time);
        for (std::size_t n = 0; n < exceeded.size(); ++n) {
            const std::size_t rank =
                expected.size() * static_cast<std::size_t>(exceeded_percent[n]) / 100;
            CHECK(near(exceeded[n], burst_level + expected[rank], 0.05, Because::OwnTolerance));
        }
        ++checked;
    }
    CHECK(checked == rows.size());
}
