#include "earbudget/measurement/findings/sequence_runs.hpp"

#include <chrono>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "measurement/level_histories.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct Played {
    double start;
    double end;
    double level;
    double period;  // from volume to volume; 0 for none
    double quiet;   // at the end of each volume
    double drop;    // dB
};

Course exposed(const std::vector<Played>& sequences, const Course& background) {
    return [=](double t) {
        double energy = std::pow(10.0, 0.1 * background(t));
        for (const Played& s : sequences) {
            if (t < s.start || t >= s.end) continue;
            const bool quiet =
                s.period > 0.0 && std::fmod(t - s.start, s.period) > s.period - s.quiet;
            energy += std::pow(10.0, 0.1 * (s.level - (quiet ? s.drop : 0.0)));
        }
        return 10.0 * std::log10(energy);
    };
}

double mean_level(const Course& course, double period) {
    double sum = 0.0;
    for (int n = 0; n < 200; ++n)
        sum += std::pow(10.0, 0.1 * course(period * (n + 0.5) / 200.0)) / 200.0;
    return 10.0 * std::log10(sum);
}

/// Six sequences of 8 s to 60 s with gaps of 3 s to 12 s; all end with a volume's loud part.
std::vector<Played> session(const Played& kind, double lowest, Random& random) {
    std::vector<Played> sequences;
    double t = uniform(random, 3.0, 10.0);
    for (int n = 0; n < 6; ++n) {
        Played s = kind;
        s.start = t;
        s.end = t + uniform(random, 8.0, 60.0);
        if (s.period > 0.0)
            s.end = s.start + s.period * std::round((s.end - s.start) / s.period) - s.quiet;
        s.level = lowest + uniform(random, 0.0, 12.0);
        sequences.push_back(s);
        t = s.end + uniform(random, 3.0, 12.0);
    }
    return sequences;
}

}  // namespace

TEST_CASE("Runs are found where sequences play, to 0.2 s") {
    struct Row {
        const char* name;
        Played kind;
    };
    const std::vector<Row> rows{{"steady", {}},
                                {"quieter between volumes", {0, 0, 0, 2.0, 0.5, 8.0}},
                                {"still between volumes", {0, 0, 0, 2.0, 0.5, 99.0}},
                                {"still for long", {0, 0, 0, 3.5, 1.4, 99.0}}};
    for (const Row& row : rows) {
        for (const double above : {10.0, 25.0, 45.0}) {
            for (std::uint64_t seed = 0; seed < 12; ++seed) {
                CAPTURE(std::string(row.name));
                CAPTURE(above);
                CAPTURE(seed);
                Random random(seed);
                const double period = 1.0 / uniform(random, 1.2, 3.0);
                const Course background = pumping(period, uniform(random, 2.0, 9.0));
                const double lowest = mean_level(background, period) + above;
                const auto played = session(row.kind, lowest, random);
                const auto runs = find_sequence_runs(
                    history_of(exposed(played, background), played.back().end + 5.0, 30.0, random));
                REQUIRE(runs.size() == played.size());
                for (std::size_t n = 0; n < runs.size(); ++n) {
                    CHECK(near(runs[n].start.count(), played[n].start, 0.2,
                               Because::SeededRandomness));
                    CHECK(near(runs[n].end.count(), played[n].end, 0.2, Because::SeededRandomness));
                    CHECK(runs[n].long_enough == (runs[n].end - runs[n].start >= Seconds(10.0)));
                }
            }
        }
    }
}

TEST_CASE("A run tells its level, whether it is steady and what it stands above") {
    Random random(2);
    // Two levels without a gap are one run, and not steady.
    const std::vector<Played> played{{10.0, 40.0, -30.0, 0.0, 0.0, 0.0},
                                     {45.0, 60.0, -30.0, 0.0, 0.0, 0.0},
                                     {60.5, 75.0, -38.0, 0.0, 0.0, 0.0},
                                     {80.0, 86.0, -30.0, 0.0, 0.0, 0.0}};
    const auto runs =
        find_sequence_runs(history_of(exposed(played, humming(0.5, 4.0)), 100.0, 30.0, random));
    REQUIRE(runs.size() == 3);
    CHECK(near(10.0 * std::log10(runs[0].mean_square), -30.0, 0.2, Because::SeededRandomness));
    REQUIRE(runs[0].above_background.has_value());
    // The mean of the pump's swing lies 0.2 dB above its middle.
    CHECK(near(runs[0].above_background->dB(), 39.8, 0.4, Because::SeededRandomness));
    CHECK(runs[0].steady);
    CHECK(runs[0].long_enough);
    CHECK(near(runs[1].start.count(), 45.0, 0.1, Because::SeededRandomness));
    CHECK(near(runs[1].end.count(), 75.0, 0.1, Because::SeededRandomness));
    CHECK(!runs[1].steady);
    CHECK(!runs[2].long_enough);
    for (const SequenceRun& run : runs) {
        CHECK(!run.begins_before);
        CHECK(!run.ends_after);
        REQUIRE(run.steadiness.has_value());
        CHECK(run.steady == run.steadiness->steady);
    }
}

TEST_CASE("A run cut off by the recording says so") {
    Random random(3);
    const std::vector<Played> played{{-1.0, 20.0, -40.0, 0.0, 0.0, 0.0},
                                     {30.0, 99.0, -40.0, 0.0, 0.0, 0.0}};
    const auto runs =
        find_sequence_runs(history_of(exposed(played, humming(0.5, 4.0)), 60.0, 30.0, random));
    REQUIRE(runs.size() == 2);
    CHECK(runs[0].begins_before);
    CHECK(!runs[0].ends_after);
    CHECK(near(runs[0].start.count(), 0.0, 0.0, Because::Arithmetic));
    CHECK(!runs[1].begins_before);
    CHECK(runs[1].ends_after);
    CHECK(near(runs[1].end.count(), 60.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("The pump alone is no sequence in hundreds of recordings") {
    int found = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        Random random(seed);
        const double period = 1.0 / uniform(random, 1.0, 4.0);
        const double swing = uniform(random, 0.0, 12.0);
        const auto level = seed % 2 == 0 ? pumping(period, swing) : humming(period, swing);
        const double freedom = uniform(random, 4.0, 40.0);
        const double seconds = uniform(random, 5.0, 200.0);
        if (!find_sequence_runs(history_of(level, seconds, freedom, random)).empty()) ++found;
    }
    CHECK(found == 0);
}

TEST_CASE("A recording of one sequence has no run, or one where it falls to the background") {
    Random random(6);
    CHECK(
        find_sequence_runs(history_of([](double) { return -30.0; }, 300.0, 30.0, random)).empty());
    const std::vector<Played> pulsing{{0.0, 300.0, -30.0, 10.0, 1.4, 99.0}};
    const auto runs =
        find_sequence_runs(history_of(exposed(pulsing, humming(0.5, 4.0)), 300.0, 30.0, random));
    REQUIRE(runs.size() == 1);
    CHECK(runs[0].begins_before);
    // The recording ends within a pause, which belongs to nothing yet.
    CHECK(near(runs[0].end.count(), 298.6, 0.1, Because::SeededRandomness));
}

TEST_CASE("Bangs, silence and nothing at all are no sequences") {
    Random random(7);
    CHECK(find_sequence_runs(LevelHistory{}).empty());
    CHECK(find_sequence_runs({Seconds(0.05), std::vector<float>(6000, 0.0F)}).empty());
    const std::vector<Played> bangs{{20.0, 20.2, -20.0, 0.0, 0.0, 0.0},
                                    {50.0, 51.5, -40.0, 0.0, 0.0, 0.0}};
    CHECK(find_sequence_runs(history_of(exposed(bangs, humming(0.5, 4.0)), 90.0, 30.0, random))
              .empty());
}

TEST_CASE("Three hours are searched at once") {
    Random random(8);
    const auto level = [](double t) { return phase_of(t, 120.0) < 0.9 ? -30.0 : -70.0; };
    const LevelHistory history = history_of(level, 10800.0, 30.0, random);
    REQUIRE(history.mean_square.size() == 216000);
    const auto start = std::chrono::steady_clock::now();
    CHECK(find_sequence_runs(history).size() == 90);
    // About 35 ms; the limit is for a machine that is busy or checks every access.
    CHECK(std::chrono::steady_clock::now() - start < std::chrono::seconds(2));
}
