// A bound on the probability of being over is one, and is near enough to spare draws.
#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/random_plan.hpp"
#include "support/spread_plan.hpp"
#include "uncertainty/probability_bounds.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

SegmentTimes times_of(const ExposureDay& day, const DayErrors& errors) {
    SegmentTimes times{.seconds = std::vector<double>(errors.segments.size(), 0.0)};
    for (std::size_t row = 0; row < day.rows.size(); ++row)
        for (unsigned session = 0; session < day.times_a_day(day.rows[row]); ++session)
            if (const auto segment = errors.segment_of(row, session))
                times.seconds[*segment] += day.rows[row].time.count();
    return times;
}

// Shares of 20,000 draws stray by this many of their standard deviations once in some 30,000.
constexpr double straying = 4.0;
constexpr std::size_t draws = 20000;

}  // namespace

TEST_CASE("no share of draws is above the bound, and days far within are told by it") {
    std::mt19937 random(7);
    int far_within = 0, told = 0;
    for (int n = 0; n < 150; ++n) {
        Plan plan = random_plan(random);
        for (Person& person : plan.people) {
            // Also what random plans seldom have: another fraction worn, that varies, a poor fit.
            if (n % 3 == 1) person.wearing.fraction_of_time = 0.97;
            if (n % 3 == 1) person.worn_uncertainty = 0.05;
            if (n % 5 == 2) person.wearing.poor_fit = true;
            const ExposureDay day = day_exposure(plan, person);
            const DayErrors errors = errors_of_day(plan, person, day);
            std::vector<ExposureLimit> limits;
            for (const Criterion& criterion : person.policy.criteria)
                limits.emplace_back(criterion, criterion.days_counted(day.days_per_week));
            const ProbabilityBounds bounds(errors, limits);
            const auto drawn =
                MonteCarloDay(plan, person, day, {.draws = draws, .draws_of_times = draws}).judge();
            for (std::size_t i = 0; i < limits.size(); ++i) {
                if (!limits[i].criterion().is_for(person.role)) continue;
                const double share = drawn[i].probability_over;
                const double most = bounds.most(i, times_of(day, errors), LevelDifference(0.0));
                CAPTURE(n);
                CAPTURE(limits[i].criterion().id);
                CHECK(most <= 1.0);
                CHECK(most >= share - straying * std::sqrt(share * (1.0 - share) / draws));
                if (share > 0.004) continue;
                ++far_within;
                if (most <= 0.025) ++told;
            }
        }
    }
    CAPTURE(far_within);
    CAPTURE(told);
    CHECK(far_within > 30);
    CHECK(told > far_within / 2);
}

TEST_CASE("with one normal error the bound is the smallest of its powers, by closed form") {
    DayErrors errors;
    errors.variables = {{ErrorKind::Instrument, 1}};
    errors.segments = {{.outside = LevelA(80.0), .errors = {{0, 2.0}}}};
    const Criterion criterion = published("eu-upper-action");
    REQUIRE(criterion.rule.level == LevelA(85.0));
    const ProbabilityBounds bounds(errors, {ExposureLimit(criterion)});
    // Eight hours at 80 dB with 2 dB: 85 dB is 2.5 standard deviations away.
    const double most = bounds.most(0, {.seconds = {28800.0}, .course = {}}, LevelDifference(0.0));
    double least = 1.0;
    for (const double k : {1.25, 1.75, 2.5, 3.5, 5.0, 7.0, 10.0}) {
        const double size = std::log(10.0) / 10.0 * k;
        least = std::min(least, std::exp(-5.0 * size + 0.5 * size * size * 4.0));
    }
    CHECK(most == doctest::Approx(least).epsilon(1e-9));  // rounding alone
    CHECK(most > 1.0 - normal_probability(2.5));
    CHECK(most < std::exp(-0.5 * 2.5 * 2.5) * 1.05);  // what the best of all k would give
}
