// Times from draws, and insertions.
#include <algorithm>
#include <array>
#include <cmath>

#include <doctest/doctest.h>

#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/near.hpp"
#include "support/normal_quantile.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the longest time of a row that is sure enough, from closed forms") {
    // One row: T = 8 h · 10^((87 − L − 1.645 u)/10).
    const Plan plan = open_ears({sound_of(90.0, 1.5)}, {1.0}, "eu-limit");
    const auto longest = Drawn(plan).day.longest_of_row(0, 0, Hours(24)).confident(0.05);
    REQUIRE(longest);
    CHECK(near(longest->count() / 3600.0, 8.0 * std::pow(10.0, (87.0 - 90.0 - z95 * 1.5) / 10.0),
               0.002, Because::SeededRandomness));
    const std::array<Seconds, 1> then = {*longest};
    CHECK(Drawn(plan).day.judge({.times = then}).front().probability_over <= 0.05);
    const std::array<Seconds, 1> more = {1.002 * *longest};
    CHECK(Drawn(plan).day.judge({.times = more}).front().probability_over > 0.05);
    // Two rows, the first alone too loud: no time.
    const Plan loud = open_ears({sound_of(95.0, 1.0), sound_of(80.0, 1.0)}, {8.0, 1.0}, "eu-limit");
    CHECK_FALSE(Drawn(loud).day.longest_of_row(0, 1, Hours(24)).confident(0.05));
}

TEST_CASE("no time is none, not 0 s, where a ceiling ends a question before its sum is known") {
    // The rest alone is over in 5 to 8 % of the draws; the row that may grow is above the ceiling
    // in nearly half, each of which leaves it 0 s.
    for (const double uncertainty : {3.3, 3.5, 3.7, 3.9}) {
        CAPTURE(uncertainty);
        Plan plan = open_ears({sound_of(88.0, uncertainty), unshared(114.5, 6.0)},
                              {5.0, 600.0 / 3600.0}, "niosh-rel");
        Criterion& own = plan.people.front().policy.criteria.front();
        own.rule = {.level = LevelA(90.0),
                    .exchange = LevelDifference(5.0),
                    .hours = Hours(8),
                    .ceiling = LevelA(115.0)};
        const std::array<Seconds, 2> without = {Hours(5), Seconds(0.0)};
        const Drawn many(plan, {.draws = 200'000, .seed = 2, .draws_of_times = 200'000});
        REQUIRE(many.day.judge({.times = without}).front().probability_over > 0.05);
        CHECK_FALSE(Drawn(plan).day.longest_of_row(0, 1, Hours(24)).confident(0.05));
    }
}

TEST_CASE("insertions: every session and rest with reinsert has its own fit") {
    Plan plan = open_ears({sound_in_bands(0.0)}, {0.5}, "eu-limit");
    wear_plug(plan, flat(20.0, 0.0));
    plan.people.front().fit_uncertainty = LevelDifference(3.0);
    plan.timeline.push_back({.sequence = {}, .duration = Seconds(60.0)});
    plan.timeline.push_back({.sequence = 0, .duration = Hours(0.5)});
    const auto fits = [&] {
        const Drawn drawn(plan);
        return std::ranges::count(drawn.day.errors().variables, ErrorKind::Fit,
                                  &ErrorVariable::kind);
    };
    CHECK(fits() == 1);
    plan.timeline[1].reinsert = true;
    CHECK(fits() == 2);
    plan.people.front().sessions_per_day = 3;
    CHECK(fits() == 6);
}
