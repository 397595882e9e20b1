#include "earbudget/decision/shorten.hpp"

#include <random>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/decision/judge.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

HearingDay with_row_time(HearingDay day, std::size_t row, Seconds time) {
    day.rows[row].time = time;
    return day;
}

HearingDay with_sequences_scaled(HearingDay day, double factor) {
    for (HeardRow& row : day.rows) {
        if (row.sequence) row.time *= factor;
    }
    return day;
}

}  // namespace

TEST_CASE("the longest time keeps every limit, one percent more does not") {
    std::mt19937 random(17);
    int solved = 0;
    int confidently_solved = 0;
    const double z = normal_quantile(0.95);
    for (int round = 0; round < 600; ++round) {
        const Plan plan = random_plan(random);
        const Person& person = plan.people.front();
        const HearingDay day = hear(plan, person);
        for (std::size_t row = 0; row < day.rows.size(); ++row) {
            if (!day.rows[row].sequence) continue;
            const LongestTime longest = longest_time_of_row(person, day, row);
            if (longest.best_estimate && *longest.best_estimate > Seconds(1.0) &&
                *longest.best_estimate < Hours(24)) {
                ++solved;
                CHECK(!is_over_any(person, with_row_time(day, row, *longest.best_estimate)));
                CHECK(is_over_any(person, with_row_time(day, row, 1.01 * *longest.best_estimate)));
            }
            if (longest.confident && *longest.confident > Seconds(1.0) &&
                *longest.confident < Hours(24)) {
                ++confidently_solved;
                CHECK(!is_over_any_when_raised(person, with_row_time(day, row, *longest.confident),
                                               z));
                CHECK(is_over_any_when_raised(
                    person, with_row_time(day, row, 1.01 * *longest.confident), z));
                CHECK(*longest.confident <= *longest.best_estimate);
            }
        }
    }
    CHECK(solved > 300);
    CHECK(confidently_solved > 200);
}

TEST_CASE("all sequences in proportion: the factor keeps every limit, one percent more does not") {
    std::mt19937 random(18);
    int solved = 0;
    for (int round = 0; round < 400; ++round) {
        const Plan plan = random_plan(random);
        const Person& person = plan.people.front();
        const HearingDay day = hear(plan, person);
        if (!is_over_any(person, day)) continue;
        const LongestTime longest = longest_time_of_all_sequences(person, day);
        if (!longest.best_estimate || *longest.best_estimate < Seconds(1.0)) continue;
        ++solved;
        Seconds now(0.0);
        for (const HeardRow& row : day.rows)
            now += row.sequence ? row.time : Seconds(0.0);
        const double factor = *longest.best_estimate / now;
        CHECK(factor < 1.0);
        CHECK(!is_over_any(person, with_sequences_scaled(day, factor)));
        CHECK(is_over_any(person, with_sequences_scaled(day, 1.01 * factor)));
    }
    CHECK(solved > 100);
}
