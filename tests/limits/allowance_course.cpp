// What the day uses of a limit as it goes on must end where the verdict begins: at the value of
// judge_exposure, over a limit exactly where that is.
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/limits/day_course.hpp"
#include "earbudget/limits/judge.hpp"
#include "support/random_plan.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// Percent to a millionth of itself: a sum of tens of parts in another order.
void check_same(double a, double b) { CHECK(std::abs(a - b) <= 1e-6 * std::max(1.0, std::abs(b))); }

std::vector<Criterion> every_criterion(Role role) {
    std::vector<Criterion> criteria;
    for (const Criterion& criterion : published_criteria()) {
        if (criterion.is_for(role)) criteria.push_back(criterion);
    }
    return criteria;
}

void check_course(const AllowanceCourse& allowance, const DayCourse& course,
                  const CriterionResult& judged) {
    CAPTURE(judged.criterion->id);
    const double end = 100.0 * ExposureLimit(*judged.criterion).used_at(judged.value);
    check_same(allowance.points.back().percent, end);
    check_same(allowance.after_row.back(), end);
    CHECK(allowance.after_row.size() == course.rows.size());
    CHECK(allowance.reached.has_value() == (judged.verdict == Verdict::Over));
    CHECK(allowance.points.front().at == Seconds(0.0));
    CHECK(std::abs((allowance.points.back().at - course.ends.back()).count()) < 1e-6);
    for (std::size_t n = 1; n < allowance.points.size(); ++n) {
        CHECK(allowance.points[n].at >= allowance.points[n - 1].at);
        CHECK(allowance.points[n].percent >= allowance.points[n - 1].percent);
    }
}

/// Everything of one person, and how many limits were looked at.
int check_person(const PersonResult& person) {
    const DayCourse course = allowance_course(person);
    std::size_t next = 0;
    for (const CriterionResult& judged : person.criteria) {
        if (judged.is_peak || !judged.decides) continue;
        REQUIRE(next < course.allowances.size());
        CHECK(course.allowances[next].criterion == judged.criterion);
        check_course(course.allowances[next++], course, judged);
    }
    CHECK(next == course.allowances.size());
    return static_cast<int>(next);
}

/// The value that a criterion would have if the day ended at a moment.
double used_until(const Criterion& criterion, const ExposureDay& day, Seconds at) {
    std::vector<ExposurePart> parts;
    Seconds begin(0.0);
    for (const std::size_t row : day.course()) {
        const Seconds time = std::min(day.rows[row].time, at - begin);
        if (time <= Seconds(0.0)) break;
        ExposureRow cut = day.rows[row];
        cut.time = time;
        add_parts(cut, exposure_at(criterion), parts);
        begin += day.rows[row].time;
    }
    for (ExposurePart& part : parts)
        part.time *= criterion.days_counted(day.days_per_week);
    return 100.0 * ExposureLimit(criterion).used(parts);
}

/// Along the straight lines; the later value at a jump.
double at_moment(const std::vector<AllowancePoint>& points, Seconds at) {
    for (std::size_t n = points.size(); n-- > 1;) {
        if (points[n - 1].at > at) continue;
        const Seconds length = points[n].at - points[n - 1].at;
        if (length <= Seconds(0.0)) return points[n].percent;
        return points[n - 1].percent +
               (at - points[n - 1].at) / length * (points[n].percent - points[n - 1].percent);
    }
    return points.front().percent;
}

}  // namespace

TEST_CASE("the course of an allowance ends at the value that is judged") {
    std::mt19937 random(20261125);
    int limits = 0;
    int over = 0;
    for (int round = 0; round < 60; ++round) {
        Plan plan = random_plan(random);
        plan.people.front().policy.criteria = every_criterion(Role::Participant);
        if (round % 3 == 0) plan.people.front().wears.clear();
        if (round % 4 == 0) plan.people.front().wearing.fraction_of_time = 0.8;
        const Assessment assessment = assess(plan);
        limits += check_person(assessment.people.front());
        over += assessment.people.front().verdict == Verdict::Over ? 1 : 0;
    }
    CHECK(limits >= 60 * 5);
    CHECK(over > 5);
    CHECK(over < 60);
}

TEST_CASE("the course of an allowance holds for staff with tasks once a day and weekly limits") {
    std::mt19937 random(7);
    int limits = 0;
    for (int round = 0; round < 40; ++round) {
        Plan plan = random_staff_plan(random);
        // Else those drawn, some of them by the week.
        if (round % 2 == 0)
            plan.people.front().policy.criteria = every_criterion(plan.people.front().role);
        for (const PersonResult& person : assess(plan).people)
            limits += check_person(person);
    }
    CHECK(limits > 60);
}

TEST_CASE("in between the course of an allowance is what a day that ends there would use") {
    std::mt19937 random(11);
    std::uniform_real_distribution<double> part(0.0, 1.0);
    int reached = 0;
    for (int round = 0; round < 30; ++round) {
        Plan plan = random_plan(random);
        plan.people.front().policy.criteria = every_criterion(Role::Participant);
        const Assessment assessment = assess(plan);
        const ExposureDay day = day_exposure(plan, plan.people.front());
        const DayCourse course = allowance_course(assessment.people.front());
        for (const AllowanceCourse& allowance : course.allowances) {
            CAPTURE(allowance.criterion->id);
            const Seconds at = part(random) * course.ends.back();
            check_same(at_moment(allowance.points, at), used_until(*allowance.criterion, day, at));
            if (!allowance.reached) continue;
            ++reached;
            // A second before nothing is over; a second after it is.
            const Seconds before = *allowance.reached - Seconds(1.0);
            if (before > Seconds(0.0))
                CHECK(used_until(*allowance.criterion, day, before) <= 100.0 + 1e-6);
            if (!allowance.criterion->rule.ceiling)
                CHECK(used_until(*allowance.criterion, day, *allowance.reached + Seconds(1.0)) >=
                      100.0 - 1e-6);
        }
    }
    CHECK(reached > 10);
}
