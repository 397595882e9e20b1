// Draws taken in order and left off early say what all of them say.
#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// The plan's first person by one limit alone, with this accepted probability.
Plan by_one_limit(const Plan& plan, const Criterion& criterion, double accepted) {
    Plan one = plan;
    one.people.resize(1);
    one.people.front().policy.criteria = {criterion};
    one.people.front().policy.accepted_probability = accepted;
    return one;
}

// A tenth of what shares of 65,536 draws stray by themselves (k = 1, at 5 %: 0.00085).
constexpr double nothing_lost = 0.00008;

constexpr DrawSettings all_draws(std::uint64_t seed) {
    return {.draws = lattice_size, .seed = seed, .draws_of_times = lattice_size};
}

}  // namespace

TEST_CASE("a probability in doubt is that of all draws, however many are asked for") {
    // In doubt wherever it lies: the accepted one is what all 65,536 draws say.
    std::mt19937 random(11);
    int small = 0, middling = 0, large = 0;
    double farthest = 0.0;
    for (int n = 0; n < 250; ++n) {
        const Plan plan = random_plan(random);
        for (const Criterion& criterion : plan.people.front().policy.criteria) {
            Plan one = by_one_limit(plan, criterion, 0.05);
            Person& person = one.people.front();
            if (!counts_for(person.policy.criteria.front(), person, Limits::All)) continue;
            const ExposureDay day = day_exposure(one, person);
            const double by_all =
                MonteCarloDay(one, person, day, all_draws(1)).judge().front().probability_over;
            if (by_all < 0.001 || by_all > 0.4) continue;
            person.policy.accepted_probability = by_all;
            const SureProbability sure =
                MonteCarloDay(one, person, day, DrawSettings()).sure_probability(Limits::All);
            if (sure.draws != lattice_size) continue;
            (by_all < 0.01 ? small : by_all < 0.06 ? middling : large) += 1;
            farthest = std::max(farthest, std::abs(sure.value - by_all));
        }
    }
    MESSAGE("small ", small, ", near 5 % ", middling, ", large ", large, ", farthest ", farthest);
    CHECK(small >= 10);
    CHECK(middling >= 10);
    CHECK(large >= 20);
    CHECK(farthest <= nothing_lost);
}

TEST_CASE("a small accepted probability is not met by draws that have not been asked for") {
    // What orders the draws is the long row; above the ceiling are, one draw in 900, three short
    // ones, which the order does not know.
    Plan plan = open_ears(
        {sound_of(80.0, 4.0), unshared(108.0, 2.07), unshared(108.0, 2.07), unshared(108.0, 2.07)},
        {5.0, 1.0 / 3600.0, 1.0 / 3600.0, 1.0 / 3600.0}, "niosh-rel");
    plan.people.front().policy.accepted_probability = 0.001;
    plan.people.front().policy.criteria.front().rule = {.level = LevelA(90.0),
                                                        .exchange = LevelDifference(5.0),
                                                        .hours = Hours(8),
                                                        .ceiling = LevelA(115.0)};
    for (std::uint64_t seed = 1; seed <= 30; ++seed) {
        CAPTURE(seed);
        const double by_all = DrawnDay(plan, all_draws(seed)).day.judge().front().probability_over;
        // Normal tails: three beyond (115 − 108)/2.07, and beyond (90 + 5 lg 1.6/lg 2 − 80)/4.
        CHECK(near(by_all, 3.0 * 0.00036027 + 0.00040759, 0.0002, Because::SeededRandomness));
        const DrawnDay drawn(plan, {.seed = seed});
        CHECK(std::abs(drawn.day.sure_probability(Limits::All).value - by_all) <= nothing_lost);
    }
}
