#include "earbudget/measurement/findings/steadiness.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "measurement/level_histories.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double LAeq(const LevelHistory& history) {
    double sum = 0.0;
    for (const float x : history.mean_square)
        sum += static_cast<double>(x);
    return 10.0 * std::log10(sum / static_cast<double>(history.mean_square.size()));
}

LevelHistory steady_noise(double seconds, Random& random) {
    return history_of([](double) { return -30.0; }, seconds, 4.0, random);
}

/// Levels that wander about with a standard deviation of 4 dB and forget within 0.3 s.
LevelHistory wandering(double seconds, Random& random) {
    std::normal_distribution<double> draw;
    const double kept = std::exp(-0.0125 / 0.3);
    double state = draw(random);
    const auto level = [&](double) {
        state = kept * state + std::sqrt(1.0 - kept * kept) * draw(random);
        return -30.0 + 4.0 * state;
    };
    return history_of(level, seconds, 30.0, random);
}

/// On and off by 15 dB for random times of 0.7 s on average.
LevelHistory on_and_off(double seconds, Random& random) {
    std::exponential_distribution<double> draw(1.0 / 0.7);
    double until = 0.0;
    bool on = false;
    const auto level = [&](double time) {
        for (; time > until; on = !on)
            until += draw(random);
        return on ? -30.0 : -45.0;
    };
    return history_of(level, seconds, 30.0, random);
}

LevelHistory pulsed(double seconds, Random& random) {
    constexpr double period = 1.283;  // no multiple of a step
    const double start = uniform(random, 0.0, period);
    const auto level = [=](double t) { return phase_of(t + start, period) < 0.7 ? -30.0 : -60.0; };
    return history_of(level, seconds, 200.0, random);
}

}  // namespace

TEST_CASE("The uncertainty is the spread of LAeq among many recordings") {
    struct Row {
        const char* name;
        LevelHistory (*sound)(double, Random&);
    };
    constexpr int trials = 300;
    for (const Row row : {Row{"noise", steady_noise},
                          {"wandering", wandering},
                          {"on and off", on_and_off},
                          {"pulsed", pulsed}}) {
        for (const double seconds : {30.0, 100.0}) {
            CAPTURE(std::string(row.name));
            CAPTURE(seconds);
            double sum = 0.0;
            double squares = 0.0;
            double variance = 0.0;
            for (int seed = 0; seed < trials; ++seed) {
                Random random(static_cast<std::uint64_t>(seed));
                const LevelHistory history = row.sound(seconds, random);
                const double level = LAeq(history);
                sum += level;
                squares += level * level;
                const auto result = steadiness_of(history);
                REQUIRE(result.has_value());
                variance += std::pow(result->standard_uncertainty.dB(), 2) / trials;
            }
            const double spread = std::sqrt((squares - sum * sum / trials) / (trials - 1));
            // 300 draws tell a spread to 4 %.
            CHECK(near(std::sqrt(variance) / spread, 1.0, 0.25, Because::SeededRandomness));
        }
    }
}

TEST_CASE("A sound repeated over many periods is steady, a drifting one is not") {
    Random random(1);
    const auto periodic = steadiness_of(pulsed(30.0, random));
    REQUIRE(periodic.has_value());
    CHECK(periodic->steady);
    // A part of a period at most: 1 dB of 30 s in 23 periods.
    CHECK(periodic->standard_uncertainty.dB() < 0.05);
    const auto drift =
        steadiness_of(history_of([](double t) { return -30.0 + t / 10.0; }, 60.0, 30.0, random));
    REQUIRE(drift.has_value());
    CHECK(!drift->steady);
    const auto two_levels = steadiness_of(
        history_of([](double t) { return t < 30.0 ? -30.0 : -34.0; }, 60.0, 30.0, random));
    REQUIRE(two_levels.has_value());
    CHECK(!two_levels->steady);
    const auto tone = steadiness_of({Seconds(0.05), std::vector<float>(400, 0.5F)});
    REQUIRE(tone.has_value());
    CHECK(tone->steady);
    CHECK(near(tone->standard_uncertainty.dB(), 0.0, 1e-9, Because::Arithmetic));
    CHECK(near(tone->enough.count(), 0.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("As much time as is said to be enough brings 0.2 dB") {
    Random random(4);
    double enough = 0.0;
    for (int trial = 0; trial < 30; ++trial) {
        const auto result = steadiness_of(wandering(30.0, random));
        REQUIRE(result.has_value());
        const double ratio = result->standard_uncertainty.dB() / 0.2;
        CHECK(near(result->enough.count(), 30.0 * ratio * ratio, 1e-6, Because::Arithmetic));
        CHECK(result->steady == (result->standard_uncertainty.dB() <= 0.3));
        enough += result->enough.count() / 30.0;
    }
    double variance = 0.0;
    for (int trial = 0; trial < 30; ++trial) {
        const auto result = steadiness_of(wandering(enough, random));
        REQUIRE(result.has_value());
        variance += std::pow(result->standard_uncertainty.dB(), 2) / 30.0;
    }
    CHECK(near(std::sqrt(variance), 0.2, 0.04, Because::SeededRandomness));
}

TEST_CASE("Nothing is said of silence or of less than 2 s") {
    CHECK(!steadiness_of(LevelHistory{}));
    CHECK(!steadiness_of({Seconds(0.05), std::vector<float>(39, 0.5F)}));
    CHECK(steadiness_of({Seconds(0.05), std::vector<float>(40, 0.5F)}));
    CHECK(!steadiness_of({Seconds(0.05), std::vector<float>(400, 0.0F)}));
}
