// One model of a limit: a second, a day, a budget, draws and first order say the same of it.
#include "earbudget/exposure/limit.hpp"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/computing/solver.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/uncertainty/first_order.hpp"
#include "support/near.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A day of one row, without any error, that uses so much of a criterion's limit.
Plan using_of_limit(const Criterion& criterion, double used) {
    const LevelA louder = criterion.rule.level + LevelDifference(3.0);
    const ExposureLimit limit(criterion, criterion.days_counted(1.0));
    const double level =
        limit.is_sum() ? louder.dB() : criterion.rule.level.dB() + 10.0 * std::log10(used);
    const double seconds = limit.is_sum() ? used / limit.used_by(louder) : 5400.0;
    return open_ears({sound_of(level, 0.0)}, {seconds / 3600.0}, criterion.id);
}

}  // namespace

TEST_CASE("one slack: whoever asks whether a limit is exceeded hears the same") {
    for (const Criterion& criterion : published_criteria()) {
        CAPTURE(criterion.id);
        for (const double beyond : {-3e-9, 0.0, 0.3e-9, 3e-9, 1e-6}) {
            CAPTURE(beyond);
            const bool over = beyond > arithmetic_slack;
            const Plan plan = using_of_limit(criterion, 1.0 + beyond);
            const DrawnDay drawn(plan);
            const Criterion& own = drawn.person.policy.criteria.front();
            CHECK(is_over(own, parts_for(own, drawn.exposed)) == over);
            CHECK(is_over_any(drawn.person, drawn.exposed) == over);
            CHECK(judge_exposure(own, drawn.exposed).verdict ==
                  (over ? Verdict::Over : Verdict::Within));
            CHECK(DayBudget(drawn.person, drawn.exposed).is_over() == over);
            CHECK(drawn.day.perhaps_over() == over);
            CHECK(drawn.day.judge().front().probability_over == (over ? 1.0 : 0.0));
            const auto first = first_order(own, drawn.exposed, drawn.day.errors());
            if (first) CHECK(first->probability_over == (over ? 1.0 : 0.0));
            CHECK(first.has_value() == (own.quantity != ExposureQuantity::LAeq_1h));
        }
    }
}

TEST_CASE("what seconds use of a limit adds up to what its value uses, and back") {
    std::mt19937 random(41);
    std::uniform_real_distribution<double> level(60.0, 112.0), hours(0.1, 2.0);
    for (int round = 0; round < 200; ++round) {
        const std::vector<ExposurePart> day = {{LevelA(level(random)), Hours(hours(random))},
                                               {std::nullopt, Hours(1.0)},
                                               {LevelA(level(random)), Hours(hours(random))}};
        for (const Criterion& criterion : published_criteria()) {
            CAPTURE(criterion.id);
            for (const double days : {1.0, 0.6, 5.0}) {
                const ExposureLimit limit(criterion, days);
                const double used = limit.used(day);
                if (limit.is_sum()) {
                    double sum = 0.0;
                    for (const ExposurePart& part : day)
                        sum += part.time.count() * limit.used_by(part.level);
                    CHECK(near(used, sum, 1e-12 * sum, Because::Arithmetic));
                } else {
                    const double loud = limit.of_loudest_part().used(day);
                    CHECK(used <= loud * (1.0 + 1e-12));
                    CHECK(
                        near(loud, limit.used_by(loudest(day)), 1e-12 * loud, Because::Arithmetic));
                }
                if (!(used > 0.0)) continue;
                CHECK(near(limit.value_of(used), *limit.value(day), 1e-9 * limit.value_of(used),
                           Because::Arithmetic));
            }
        }
    }
}

TEST_CASE("a level that is known as an exponential uses what it uses as a level") {
    for (const Criterion& criterion : published_criteria()) {
        CAPTURE(criterion.id);
        const ExposureLimit limit(criterion);
        for (const double dB : {91.0, 97.5, 110.0}) {
            const double rate =
                std::exp(limit.growth() * (LevelA(dB) - ExposureLimit::reference).dB());
            const double used = limit.used_by(LevelA(dB));
            CHECK(near(limit.used_at_reference() * rate, used, 1e-12 * used, Because::Arithmetic));
            const double margin = limit.margin_of(used).dB();
            const double full = limit.used_by(LevelA(dB + margin));
            CHECK(near(full, 1.0, 1e-9, Because::Arithmetic));
        }
        CHECK(limit.used_by(std::nullopt) == 0.0);
    }
}

TEST_CASE("the solver finds the last number that keeps something") {
    for (unsigned limit = 0; limit < 40; ++limit) {
        const auto keeps = [limit](unsigned n) { return n <= limit; };
        for (unsigned most = 0; most < 50; most += 7)
            CHECK(most_that_keeps(0U, most, keeps) == std::min(most, limit));
        const int least = static_cast<int>(limit);
        const auto from = [least](int n) { return n >= least; };
        CHECK(least_that_keeps(40, from) == least);
        CHECK(!least_that_keeps(least - 1, from));
    }
    const auto below = [](double limit) { return [limit](double x) { return x <= limit; }; };
    const Tolerance<double> near_by{1e-6};
    CHECK(!longest_that_keeps({}, 1.0, below(-0.5), near_by));
    CHECK(longest_that_keeps({}, 1.0, below(2.0), near_by) == 1.0);
    const double found = longest_that_keeps({}, 1.0, below(0.3), near_by).value();
    CHECK(found <= 0.3);
    CHECK(near(found, 0.3, 1e-6, Because::OwnTolerance));
    // A tenth of it is near enough.
    const double roughly = longest_that_keeps({}, 1.0, below(0.3), {1e-6, 0.1}).value();
    CHECK(roughly <= 0.3);
    CHECK(roughly > 0.3 / 1.11);
    // Over between two that are looked at: what lies beyond is not found.
    const auto twice = [](double x) { return x <= 0.2 || (x >= 0.5 && x <= 0.7); };
    CHECK(near(longest_that_keeps({0.3, 0.6}, 1.0, twice, near_by).value(), 0.2, 1e-6,
               Because::OwnTolerance));
}
