// What is printed of the draws is as near as 200,000 plain ones would be.
#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

TEST_CASE("printed shares below 15 % and 95 % values lie as near as 200,000 draws would put them") {
    std::mt19937 random(9);
    double share_squares = 0.0, level_squares = 0.0;
    int shares = 0, levels = 0;
    for (int n = 0; n < 40; ++n) {
        const Plan plan = random_plan(random);
        for (const Person& person : plan.people) {
            const ExposureDay day = day_exposure(plan, person);
            const DrawSettings most{.draws = 1'000'000, .seed = 77, .draws_of_times = 1'000'000};
            const auto reference = MonteCarloDay(plan, person, day, most).judge();
            const auto printed = MonteCarloDay(plan, person, day, DrawSettings()).judge();
            for (std::size_t i = 0; i < printed.size(); ++i) {
                if (!person.policy.criteria[i].is_for(person.role)) continue;
                const double share = reference[i].probability_over;
                if (share > 0.01 && share < 0.14) {
                    share_squares += std::pow(printed[i].probability_over - share, 2);
                    ++shares;
                }
                if (!printed[i].margin_range || !reference[i].margin_range) continue;
                const double off =
                    (printed[i].margin_range->low - reference[i].margin_range->low).dB();
                level_squares += off * off;
                ++levels;
            }
        }
    }
    REQUIRE(shares > 8);
    REQUIRE(levels > 40);
    // 200,000 plain draws stray by √(0.05·0.95/200,000) = 0.0005 near 5 %, and their 95 % value by
    // that over the density of a normal day with 4 to 8 dB, 0.1/σ: 0.02 to 0.04 dB.
    CHECK(std::sqrt(share_squares / shares) < 0.0005);
    CHECK(std::sqrt(level_squares / levels) < 0.02);
}
