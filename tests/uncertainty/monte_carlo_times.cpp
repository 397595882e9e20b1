// Times from draws, and insertions.
#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/computing/work_meter.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/near.hpp"
#include "support/normal_quantile.hpp"
#include "support/random_plan.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("the longest time of a row that is sure enough, from closed forms") {
    // One row: T = 8 h · 10^((87 − L − 1.645 u)/10).
    const Plan plan = open_ears({sound_of(90.0, 1.5)}, {1.0}, "eu-limit");
    const auto longest = DrawnDay(plan).day.longest_of_row(0, 0, Hours(24)).confident(0.05);
    REQUIRE(longest);
    CHECK(near(longest->count() / 3600.0, 8.0 * std::pow(10.0, (87.0 - 90.0 - z95 * 1.5) / 10.0),
               0.002, Because::SeededRandomness));
    const std::array<Seconds, 1> then = {*longest};
    CHECK(DrawnDay(plan).day.judge({.times = then}).front().probability_over <= 0.05);
    const std::array<Seconds, 1> more = {1.002 * *longest};
    CHECK(DrawnDay(plan).day.judge({.times = more}).front().probability_over > 0.05);
    // Two rows, the first alone too loud: no time.
    const Plan loud = open_ears({sound_of(95.0, 1.0), sound_of(80.0, 1.0)}, {8.0, 1.0}, "eu-limit");
    CHECK_FALSE(DrawnDay(loud).day.longest_of_row(0, 1, Hours(24)).confident(0.05));
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
        const DrawnDay many(plan, {.draws = 200'000, .seed = 2, .draws_of_times = 200'000});
        REQUIRE(many.day.judge({.times = without}).front().probability_over > 0.05);
        CHECK_FALSE(DrawnDay(plan).day.longest_of_row(0, 1, Hours(24)).confident(0.05));
    }
}

TEST_CASE("insertions: every session and rest with reinsert has its own fit") {
    Plan plan = open_ears({sound_in_bands(0.0)}, {0.5}, "eu-limit");
    wear_plug(plan, flat(20.0, 0.0));
    plan.people.front().fit_uncertainty = LevelDifference(3.0);
    plan.timeline.push_back({.sequence = {}, .duration = Seconds(60.0)});
    plan.timeline.push_back({.sequence = 0, .duration = Hours(0.5)});
    const auto fits = [&] {
        const DrawnDay drawn(plan);
        return std::ranges::count(drawn.day.errors().variables, ErrorKind::Fit,
                                  &ErrorVariable::kind);
    };
    CHECK(fits() == 1);
    plan.timeline[1].reinsert = true;
    CHECK(fits() == 2);
    plan.people.front().sessions_per_day = 3;
    CHECK(fits() == 6);
}

namespace {

/// So many draws, none of which is left off.
constexpr DrawSettings all_of(std::size_t draws) {
    return {.draws = draws, .draws_of_times = draws};
}

/// Rows of as many sequences that last so long together.
Plan plan_of_rows(std::mt19937& random, std::size_t rows, Seconds together) {
    Plan plan = random_plan(random);
    plan.timeline.clear();
    plan.sequences.clear();
    std::uniform_real_distribution<double> part(0.05, 2.0);
    for (std::size_t i = 0; i < rows; ++i) {
        plan.sequences.push_back(random_sequence(random, std::to_string(i)));
        plan.timeline.push_back(
            {.sequence = i, .duration = part(random) * together / static_cast<double>(rows)});
    }
    return plan;
}

/// The longest time of a row in each draw of a dose, from the doses without it and of a second of
/// it alone; 0 where what is left is above the ceiling, or the row is.
Eigen::ArrayXd longest_by_doses(const DrawnDay& drawn, std::size_t row, Seconds most) {
    std::vector<Seconds> others, alone(drawn.exposed.rows.size(), Seconds(0.0));
    for (const ExposureRow& other : drawn.exposed.rows)
        others.push_back(other.time);
    others[row] = Seconds(0.0);
    alone[row] = Seconds(1.0);
    const Eigen::ArrayXd left =
        (100.0 * (1.0 + arithmetic_slack) - drawn.day.values(0, {.times = others})).max(0.0);
    return (left / drawn.day.values(0, {.times = alone}).max(1e-300)).min(most.count());
}

}  // namespace

TEST_CASE("a row that varies alone is taken off the day as if all others were summed") {
    std::mt19937 random(19);
    constexpr Seconds most = Hours(24);
    int answered = 0;
    for (int n = 0; n < 60; ++n) {
        Plan plan = plan_of_rows(random, 9, Hours(n % 3 == 0 ? 2.0 : 14.0));
        plan.timeline[3].sequence = 2;                          // shares its errors
        if (n % 4 == 0) plan.timeline[5].duration = Hours(24);  // nearly all of the day
        Person& person = plan.people.front();
        person.sessions_per_day = 1 + n % 3;
        if (n % 2 == 0) person.fit_uncertainty = LevelDifference(2.5);
        person.policy.criteria = {published("niosh-rel")};
        person.policy.criteria.front().rule.ceiling.reset();
        const DrawnDay drawn(plan, all_of(2000));
        for (std::size_t row = 0; row < plan.timeline.size(); ++row) {
            const Eigen::ArrayXd by_doses = longest_by_doses(drawn, row, most);
            const Eigen::ArrayXd longest = drawn.day.longest_of_row(0, row, most).seconds;
            REQUIRE(longest.size() == by_doses.size());
            CHECK(((longest - by_doses).abs() <= 1e-9 * by_doses + 1e-9).all());
            answered += (longest > 0.0 && longest < most.count()).any() ? 1 : 0;
        }
    }
    CHECK(answered >= 300);
}

TEST_CASE("a row taken off that is above the ceiling leaves those that are so too") {
    // Of eight rows two are above the ceiling in half the draws each, independently.
    const SoundLevels quiet = sound_of(70.0, 1.0), loud = unshared(115.0, 2.0);
    Plan plan = open_ears({quiet, loud, quiet, quiet, loud, quiet, quiet, quiet},
                          std::vector<double>(8, 0.001), "niosh-rel");
    plan.people.front().policy.criteria.front().rule = {.level = LevelA(90.0),
                                                        .exchange = LevelDifference(5.0),
                                                        .hours = Hours(8),
                                                        .ceiling = LevelA(115.0)};
    const DrawnDay drawn(plan, all_of(20'000));
    const auto over_without = [&](std::size_t row) {
        return drawn.day.longest_of_row(0, row, Hours(24)).probability_over_at_0;
    };
    CHECK(near(over_without(0), 0.75, 0.015, Because::SeededRandomness));
    CHECK(near(over_without(1), 0.5, 0.015, Because::SeededRandomness));
    CHECK(near(over_without(4), 0.5, 0.015, Because::SeededRandomness));
}

TEST_CASE("the longest times of all rows are work in proportion to the rows") {
    std::mt19937 random(23);
    const auto counted = [&](std::size_t rows) {
        Plan plan = plan_of_rows(random, rows, Hours(2));
        plan.people.front().policy.criteria = {published("niosh-rel")};
        const DrawnDay drawn(plan);
        const double before = WorkMeter::spent_by_this_thread();
        for (std::size_t row = 0; row < rows; ++row)
            static_cast<void>(drawn.day.confident_time(one_row(drawn.exposed, row), Hours(24)));
        return WorkMeter::spent_by_this_thread() - before;
    };
    CHECK(counted(400) < 6.0 * counted(100));  // 16 where each sums all others
}
