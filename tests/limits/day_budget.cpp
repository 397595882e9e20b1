// Adding up what each row takes of each limit gives the same answer as judging the day anew.
#include "earbudget/limits/day_budget.hpp"

#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/exposure/criterion.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// An own criterion of every kind: threshold, ceiling, any exchange rate, by the week, by the hour,
// with and without protectors.
Criterion own_criterion(const Draw& draw) {
    constexpr ExposureQuantity quantities[] = {ExposureQuantity::Dose, ExposureQuantity::WeeklyDose,
                                               ExposureQuantity::LEX_8h, ExposureQuantity::LAeq_1h,
                                               ExposureQuantity::LAeq_loudest};
    Criterion criterion = *find_published_criterion("niosh-rel");
    criterion.id = "own";
    criterion.quantity = quantities[draw.whole(0, 4)];
    criterion.rule = {.level = LevelA(draw.between(70.0, 100.0)),
                      .exchange = LevelDifference(draw.whole(3, 5)),
                      .hours = Hours(draw.between(1.0, 10.0))};
    if (draw.chance(0.5)) criterion.rule.threshold = LevelA(draw.between(65.0, 95.0));
    if (draw.chance(0.3)) criterion.rule.ceiling = LevelA(draw.between(90.0, 120.0));
    criterion.with_protection = draw.chance(0.6);
    criterion.roles = {Role::Participant, Role::Staff, Role::Accompanying};
    criterion.dose_limit_percent = draw.between(30.0, 150.0);
    return criterion;
}

Person with_criteria(Person person, const Draw& draw) {
    if (draw.chance(0.7)) person.policy.criteria.push_back(own_criterion(draw));
    if (draw.chance(0.3)) person.policy.criteria = {own_criterion(draw)};
    return person;
}

ExposureDay varied(ExposureDay day, const Draw& draw) {
    day.sessions = draw.whole(1, 8);
    for (ExposureRow& row : day.rows)
        row.time *= draw.chance(0.1) ? 0.0 : draw.between(0.05, 3.0);
    return day;
}

std::vector<Seconds> times_of(const ExposureDay& day) {
    std::vector<Seconds> times;
    for (const ExposureRow& row : day.rows)
        times.push_back(row.time);
    return times;
}

}  // namespace

TEST_CASE("a day budget and the judged day agree for any times and sessions") {
    std::mt19937 random(77);
    const Draw draw(random);
    int over = 0;
    int within = 0;
    for (int round = 0; round < 1500; ++round) {
        CAPTURE(round);
        const Plan plan = random_staff_plan(random);
        const Person person = with_criteria(plan.people.front(), draw);
        const ExposureDay day = day_exposure(plan, person);
        for (const Limits limits : {Limits::All, Limits::WithProtection}) {
            const DayBudget budget(person, day, limits);
            CHECK(budget.is_over() == is_over_any(person, day, limits));
            CHECK(budget.times() == times_of(day));
            CHECK(budget.sessions() == day.sessions);
            for (int other = 0; other < 5; ++other) {
                const ExposureDay then = varied(day, draw);
                const bool is = is_over_any(person, then, limits);
                CHECK(budget.is_over(times_of(then), then.sessions) == is);
                ++(is ? over : within);
            }
        }
    }
    MESSAGE(over, " over, ", within, " within");
    CHECK(over > 2000);
    CHECK(within > 2000);
}

TEST_CASE("the highest hour alone: sums are kept, the hour decides") {
    std::mt19937 random(78);
    const Draw draw(random);
    int over = 0;
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        const Plan plan = random_staff_plan(random);
        Person person = plan.people.front();
        const ExposureDay day = day_exposure(plan, person);
        Criterion hour = *find_published_criterion("iec-60601-2-33");
        hour.roles = {person.role};
        const auto highest = highest_average(day.at_ear(), Hours(1));
        REQUIRE(highest.has_value());
        hour.rule.level = *highest + LevelDifference(draw.between(-1.0, 1.0));
        person.policy.criteria = {hour};
        const DayBudget budget(person, day);
        CHECK(budget.is_hour_over(budget.times(), budget.sessions()) ==
              (*highest > hour.rule.level));
        CHECK(budget.is_over() == (*highest > hour.rule.level));
        if (budget.is_over()) {
            ++over;
            CHECK(budget.hour_matters());
        }
        const ExposureDay then = varied(day, draw);
        CHECK(budget.is_hour_over(times_of(then), then.sessions) == is_over_any(person, then));
    }
    CHECK(over > 100);
}

TEST_CASE("the longest time of a budget is where its sum is full") {
    std::mt19937 random(79);
    int bounded = 0;
    for (int round = 0; round < 500; ++round) {
        CAPTURE(round);
        const Plan plan = random_staff_plan(random);
        const Person& person = plan.people.front();
        const ExposureDay day = day_exposure(plan, person);
        const DayBudget budget(person, day);
        if (budget.hour_matters()) continue;
        std::vector<Seconds> fixed = budget.times();
        std::vector<double> part(fixed.size(), 0.0);
        fixed[0] = Seconds(0.0);
        part[0] = 2.0;  // a row may grow by more than the time that is looked for
        constexpr Seconds most = Hours(10);
        const auto longest = budget.longest(fixed, part, most);
        const auto over_at = [&](Seconds time) {
            std::vector<Seconds> times = fixed;
            times[0] = 2.0 * time;
            return budget.is_over(times, day.sessions);
        };
        CHECK(longest.has_value() == !over_at(Seconds(0.0)));
        if (!longest || *longest == most || longest->count() == 0.0) continue;
        ++bounded;
        // The budget forgives a billionth for arithmetic.
        CHECK(!over_at((1.0 - 1e-6) * *longest));
        CHECK(over_at((1.0 + 1e-6) * *longest + Seconds(1e-3)));
    }
    CHECK(bounded > 60);
}
