#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/measurement/findings/steadiness.hpp"
#include "measurement/level_histories.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double noise = 30.0;  // degrees of freedom: 1.1 dB a step

struct Trial {
    const char* name;
    std::function<LevelHistory(double seconds, Random&)> sound;
};

int found_in(const Trial& trial, double seconds, int trials) {
    int found = 0;
    for (int seed = 0; seed < trials; ++seed) {
        Random random(static_cast<std::uint64_t>(seed));
        if (find_pump_rhythm(trial.sound(seconds, random))) ++found;
    }
    return found;
}

LevelHistory steady(double seconds, double freedom, Random& random) {
    return history_of([](double) { return -70.0; }, seconds, freedom, random);
}

/// Levels that wander as pink noise does: a sum of walks, each half as fast as the one before.
LevelHistory pink(double seconds, Random& random) {
    std::normal_distribution<double> draw;
    std::vector<double> parts(12, 0.0);
    unsigned count = 0;
    const auto level = [&](double) {
        ++count;
        double sum = -70.0;
        for (std::size_t k = 0; k < parts.size(); ++k) {
            if (count % (1U << k) == 0) parts[k] = draw(random);
            sum += parts[k];
        }
        return sum;
    };
    return history_of(level, seconds, noise, random);
}

/// Syllables of 0.22 s, more or less, in phrases with pauses.
LevelHistory speech(double seconds, Random& random) {
    std::vector<double> level(static_cast<std::size_t>(seconds * 100.0) + 1, -75.0);
    std::normal_distribution<double> syllable(0.22, 0.06);
    double t = 0.0;
    while (t < seconds) {
        const double phrase_end = t + uniform(random, 1.0, 4.0);
        while (t < phrase_end) {
            const double length = std::max(0.08, syllable(random));
            const double top = uniform(random, -60.0, -45.0);
            for (double u = 0.0; u < length; u += 0.01) {
                const auto n = static_cast<std::size_t>((t + u) * 100.0);
                const double rise = std::sin(std::numbers::pi * u / length) + 0.05;
                if (n < level.size()) level[n] = std::max(-75.0, top + 20.0 * std::log10(rise));
            }
            t += length;
        }
        t += uniform(random, 0.2, 1.5);
    }
    return history_of([&](double time) { return level[static_cast<std::size_t>(time * 100.0)]; },
                      seconds, 20.0, random);
}

LevelHistory bump(double seconds, Random& random) {
    const double middle = uniform(random, 0.0, seconds);
    const double width = uniform(random, 0.1, 3.0);
    const double height = uniform(random, 3.0, 40.0);
    const bool square = uniform(random, 0.0, 1.0) < 0.5;
    const auto level = [=](double t) {
        const double from_middle = std::abs(t - middle) / width;
        if (square) return from_middle < 0.5 ? -70.0 + height : -70.0;
        return -70.0 + height * std::exp(-from_middle * from_middle);
    };
    return history_of(level, seconds, uniform(random, 0.0, 1.0) < 0.3 ? 0.0 : noise, random);
}

}  // namespace

TEST_CASE("The pump's period is found from 1 to 4 strokes a second") {
    struct Row {
        double swing;
        double seconds;
        double tolerance;  // of the period, relative: some standard errors of the slowest
    };
    std::size_t rows = 0;
    for (const Row row : {Row{2.0, 300.0, 0.0003},
                          {5.0, 300.0, 0.0001},
                          {10.0, 300.0, 0.00005},
                          {5.0, 60.0, 0.001},
                          {10.0, 10.0, 0.006}}) {
        for (const double period : {0.26, 0.35, 0.5, 0.5263, 0.77, 0.98}) {
            for (const bool sine : {true, false}) {
                CAPTURE(row.swing);
                CAPTURE(period);
                Random random(rows);
                const auto level =
                    sine ? humming(period, row.swing, 0.123) : pumping(period, row.swing, 0.123);
                const auto rhythm = find_pump_rhythm(history_of(level, row.seconds, noise, random));
                REQUIRE(rhythm.has_value());
                CHECK(near(rhythm->period.count(), period, row.tolerance * period,
                           Because::SeededRandomness));
                ++rows;
            }
        }
    }
    CHECK(rows == 60);
}

TEST_CASE("The swing is that of the mean stroke") {
    for (const double swing : {2.0, 5.0, 10.0}) {
        CAPTURE(swing);
        Random random(5);
        const auto rhythm =
            find_pump_rhythm(history_of(humming(0.52, swing), 300.0, noise, random));
        REQUIRE(rhythm.has_value());
        // Means over 50 ms flatten crest and trough, a twentieth; noise adds as much.
        CHECK(near(rhythm->swing.dB(), swing, 0.1 * swing, Because::SeededRandomness));
    }
}

TEST_CASE("Noise, speech, a single bump and rhythms of another pace are no pump") {
    const std::vector<Trial> sounds{
        {"white", [](double s, Random& r) { return steady(s, noise, r); }},
        {"narrow-band", [](double s, Random& r) { return steady(s, 4.0, r); }},
        {"pink", pink},
        {"speech", speech},
        {"bump", bump},
    };
    for (const Trial& trial : sounds) {
        CAPTURE(std::string(trial.name));
        CHECK(found_in(trial, 10.0, 1000) == 0);
        CHECK(found_in(trial, 60.0, 200) == 0);
        CHECK(found_in(trial, 300.0, 20) == 0);
    }
    for (const double period : {0.19, 1.3, 1.45, 2.0, 3.1}) {
        CAPTURE(period);
        const Trial trial{"pace", [=](double s, Random& r) {
                              return history_of(pumping(period, 9.0), s, noise, r);
                          }};
        CHECK(found_in(trial, 10.0, 40) == 0);
        CHECK(found_in(trial, 60.0, 40) == 0);
    }
}

TEST_CASE("A bang or a drift does not hide the pump") {
    Random random(8);
    const auto level = [](double t) {
        return pumping(0.52, 5.0)(t) + 0.05 * t + (t > 20.0 && t < 20.4 ? 50.0 : 0.0);
    };
    const auto rhythm = find_pump_rhythm(history_of(level, 60.0, noise, random));
    REQUIRE(rhythm.has_value());
    CHECK(near(rhythm->period.count(), 0.52, 0.0005, Because::SeededRandomness));
}

TEST_CASE("A rhythm needs time, sound and a swing that counts") {
    Random random(1);
    CHECK(!find_pump_rhythm(LevelHistory{}));
    CHECK(!find_pump_rhythm(history_of(humming(0.5, 10.0), 7.9, noise, random)));
    CHECK(find_pump_rhythm(history_of(humming(0.5, 10.0), 8.0, noise, random)));
    CHECK(!find_pump_rhythm({Seconds(0.05), std::vector<float>(6000, 0.0F)}));
    // Without any noise, too: what a steady low tone ripples is no pump.
    CHECK(!find_pump_rhythm(history_of(humming(0.5, 0.45), 300.0, 0.0, random)));
    CHECK(find_pump_rhythm(history_of(humming(0.5, 0.7), 300.0, 0.0, random)));
}

TEST_CASE("Whole strokes fill as much of the time as they can") {
    const PumpRhythm rhythm{Seconds(0.52), LevelDifference(5.0)};
    for (const double seconds : {0.0, 0.3, 0.52, 1.0, 10.0, 299.9, 300.0}) {
        CAPTURE(seconds);
        const double whole = whole_strokes(rhythm, Seconds(seconds)).count();
        CHECK(whole <= seconds);
        CHECK(seconds - whole < 0.52);
        CHECK(near(whole / 0.52, std::round(whole / 0.52), 1e-9, Because::Arithmetic));
    }
    CHECK(near(whole_strokes({Seconds(0.1), {}}, Seconds(0.3)).count(), 0.3, 1e-15,
               Because::Arithmetic));
    CHECK(whole_strokes({Seconds(0.0), {}}, Seconds(3.0)) == Seconds(0.0));
}
