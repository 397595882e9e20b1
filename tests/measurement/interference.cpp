#include <cmath>
#include <numeric>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/measurement/findings/steadiness.hpp"
#include "measurement/level_histories.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

LevelHistory noise(double seconds, std::uint64_t seed = 1) {
    Random random(seed);
    return history_of([](double) { return -50.0; }, seconds, 30.0, random);
}

/// Makes the steps from `start` for `time` louder by `dB`.
void burst(LevelHistory& history, double start, double time, double dB) {
    const auto first = std::lround(start / 0.05);
    for (auto n = first; n < first + std::lround(time / 0.05); ++n)
        history.mean_square.at(static_cast<std::size_t>(n)) *=
            static_cast<float>(std::pow(10.0, 0.1 * dB));
}

/// Sound that pulses by `dB` for `time` every `period`.
LevelHistory pulsing(double seconds, double period, double time, double dB, std::uint64_t seed) {
    Random random(seed);
    const double start = uniform(random, 0.0, period);
    const auto level = [=](double t) {
        return phase_of(t + start, period) * period < time ? -50.0 + dB : -50.0;
    };
    return history_of(level, seconds, 30.0, random);
}

}  // namespace

TEST_CASE("A burst is found where it is, with what it adds to LAeq") {
    for (const double time : {0.05, 0.15, 0.25}) {
        for (const double dB : {16.0, 40.0}) {
            CAPTURE(time);
            CAPTURE(dB);
            LevelHistory history = noise(60.0);
            burst(history, 17.0, time, dB);
            const Interference found = find_interference(history);
            CHECK(found.count == 1);
            CHECK(near(found.first.count(), 17.0, 0.051, Because::SeededRandomness));
            const double added = 10.0 * std::log10(1.0 + time / 60.0 * std::pow(10.0, 0.1 * dB));
            // The burst's steps are noise themselves: one in thirty degrees of freedom, 1.1 dB.
            CHECK(near(found.raises_LAeq_by.dB(), added, 0.3 * added + 0.01,
                       Because::SeededRandomness));
        }
    }
}

TEST_CASE("Several bursts at odd times count each") {
    LevelHistory history = noise(120.0);
    burst(history, 9.0, 0.1, 25.0);
    burst(history, 9.4, 0.1, 25.0);  // a tool falls and bounces
    burst(history, 43.0, 0.2, 30.0);
    burst(history, 90.0, 0.05, 20.0);
    CHECK(find_interference(history).count == 4);
    CHECK(near(find_interference(history).first.count(), 9.0, 0.051, Because::SeededRandomness));
}

TEST_CASE("Nothing sticks out of noise and pumps in thousands of recordings") {
    int found = 0;
    for (std::uint64_t seed = 0; seed < 2000; ++seed) {
        Random random(seed);
        const double period = uniform(random, 0.25, 1.0);
        const double swing = uniform(random, 0.0, 12.0);
        const auto level = seed % 2 == 0 ? pumping(period, swing) : humming(period, swing);
        const double freedom = uniform(random, 3.0, 40.0);
        if (find_interference(history_of(level, 20.0, freedom, random)).count > 0) ++found;
    }
    CHECK(found == 0);
}

TEST_CASE("A sound that pulses is no interference") {
    for (const double period : {0.3, 0.5, 1.0, 1.7, 3.0, 5.0, 8.0}) {
        for (const double time : {0.05, 0.1, 0.2, 0.5, 1.5}) {
            if (time >= period) continue;
            for (const double seconds : {20.0, 60.0, 300.0}) {
                CAPTURE(period);
                CAPTURE(time);
                CAPTURE(seconds);
                const auto seed = static_cast<std::uint64_t>(seconds);
                CHECK(find_interference(pulsing(seconds, period, time, 25.0, seed)).count == 0);
            }
        }
    }
    // Slower, but regular.
    for (const double period : {12.0, 15.0, 31.0}) {
        CAPTURE(period);
        CHECK(find_interference(pulsing(300.0, period, 0.1, 25.0, 3)).count == 0);
    }
    // A pulsing sequence within a long session is none either.
    LevelHistory session = noise(600.0);
    const LevelHistory sequence = pulsing(30.0, 2.0, 0.1, 25.0, 4);
    std::copy(sequence.mean_square.begin(), sequence.mean_square.end(),
              session.mean_square.begin() + 4000);
    CHECK(find_interference(session).count == 0);
}

TEST_CASE("Two bursts in a short recording may be a slow sound's pulses, one is a burst") {
    LevelHistory history = noise(20.0);
    burst(history, 5.0, 0.1, 25.0);
    CHECK(find_interference(history).count == 1);
    burst(history, 13.0, 0.1, 25.0);
    CHECK(find_interference(history).count == 0);
    LevelHistory longer = noise(40.0);
    burst(longer, 5.0, 0.1, 25.0);
    burst(longer, 13.0, 0.1, 25.0);
    CHECK(find_interference(longer).count == 2);
}

TEST_CASE("What touches an end, lasts or hardly stands out is no burst") {
    LevelHistory start = noise(60.0);
    burst(start, 0.0, 0.2, 30.0);
    CHECK(find_interference(start).count == 0);
    LevelHistory end = noise(60.0);
    burst(end, 59.8, 0.2, 30.0);
    CHECK(find_interference(end).count == 0);
    LevelHistory lasting = noise(60.0);
    burst(lasting, 20.0, 0.35, 30.0);
    CHECK(find_interference(lasting).count == 0);
    LevelHistory faint = noise(60.0);
    burst(faint, 20.0, 0.1, 6.0);
    CHECK(find_interference(faint).count == 0);
    CHECK(find_interference(faint).raises_LAeq_by == LevelDifference());
    LevelHistory onset = noise(60.0);
    burst(onset, 20.0, 20.0, 40.0);
    CHECK(find_interference(onset).count == 0);
}

TEST_CASE("Silence and recordings too short hold no interference") {
    CHECK(find_interference(LevelHistory{}).count == 0);
    CHECK(find_interference({Seconds(0.05), std::vector<float>(400, 0.0F)}).count == 0);
    LevelHistory brief = noise(3.0);
    burst(brief, 1.5, 0.1, 30.0);
    CHECK(find_interference(brief).count == 0);
    // A click in digital silence is there, but there is no level to raise.
    LevelHistory click{Seconds(0.05), std::vector<float>(400, 0.0F)};
    click.mean_square[200] = 0.1F;
    CHECK(find_interference(click).count == 1);
    CHECK(find_interference(click).raises_LAeq_by == LevelDifference());
}
