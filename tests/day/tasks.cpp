// A person's day made of tasks, each sum by hand.
#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// LEX,8h = 10 lg Σ (Tm / 8 h)·10^(Lm/10) (ISO 9612, clause 9).
double LEX_8h(std::initializer_list<std::pair<double, double>> hours_at) {
    double sum = 0.0;
    for (const auto& [hours, level] : hours_at)
        sum += hours / 8.0 * std::pow(10.0, level / 10.0);
    return 10.0 * std::log10(sum);
}

Task noise(double LAeq, double hours, bool once_a_day = false) {
    return {.duration = Hours(hours),
            .levels = SoundLevels{.LAeq = LevelA(LAeq)},
            .once_a_day = once_a_day};
}

// 100 dB(A) for 30 min a session; a room of 60 dB(A); plugs of 20 and 10 dB; a control room 40 dB
// quieter; and nobody.
Plan facility(unsigned sessions, std::vector<Task> tasks) {
    Plan plan = plan_of(100.0, 30.0, {plug_of("good", 20.0), plug_of("poor", 10.0)});
    plan.background = SoundLevels{.LAeq = LevelA(60.0)};
    plan.positions = {{.id = "beside", .door_shut = {.difference = LevelDifference(-5.0)}},
                      {.id = "control", .door_shut = {.difference = LevelDifference(-40.0)}}};
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.sessions_per_day = sessions;
    person.tasks = std::move(tasks);
    return plan;
}

double day_of(const Plan& plan) { return assess(plan).people.front().exposure.at_ear_LEX_8h->dB(); }

bool is(double computed, double expected) {
    return near(computed, expected, 1e-9, Because::Arithmetic);
}

}  // namespace

TEST_CASE("a day of tasks is their energy sum over eight hours") {
    // ISO 9612, annex D by its energy means (2009 edition, memory): 70, 80.7 and 90.1 dB.
    const Plan plan = facility(1, {noise(70.0, 1.5), noise(80.7, 5.0), noise(90.1, 1.5)});
    CHECK(is(day_of(plan), LEX_8h({{1.5, 70.0}, {5.0, 80.7}, {1.5, 90.1}})));
    CHECK(near(day_of(plan), 84.3, 0.1, Because::PrintedRounding));
    CHECK(assess(plan).people.front().exposure.time == Hours(8));
}

TEST_CASE("once a session counts with the sessions, once a day does not") {
    const Plan plan =
        facility(3, {{.position = 0},
                     {.position = 1},
                     {.position = 0, .duration = Hours(0.25), .sequence = 0, .once_a_day = true},
                     {.position = 0, .duration = Hours(0.5)},
                     noise(75.0, 1.0, true)});
    CHECK(
        is(day_of(plan),
           LEX_8h({{3 * 0.5, 95.0}, {3 * 0.5, 60.0}, {0.25, 95.0}, {3 * 0.5, 55.0}, {1.0, 75.0}})));
    const Assessment assessment = assess(plan);
    CHECK(is(assessment.people.front().exposure.time.count(), 3600.0 * (4.5 + 1.25)));
}

TEST_CASE("a task in the background hears no sequence, one during a sequence hears it alone") {
    const Plan plan = facility(1, {{.position = 1, .duration = Hours(1)},
                                   {.position = 1, .duration = Hours(2), .sequence = 0}});
    const Assessment assessment = assess(plan);
    const auto& segments = assessment.people.front().segments;
    REQUIRE(segments.size() == 2);
    CHECK(!segments[0].row.sequence);
    CHECK(segments[0].row.outside()->dB() == 20.0);
    CHECK(segments[1].row.sequence == 0U);
    CHECK(segments[1].row.outside()->dB() == 60.0);
    CHECK(segments[1].row.time == Hours(2));
}

TEST_CASE("other exposure of the day adds to a participant's timeline") {
    Plan plan = facility(2, {noise(85.0, 2.0, true), noise(80.0, 0.5)});
    plan.people.front().role = Role::Participant;
    CHECK(is(day_of(plan), LEX_8h({{2 * 0.5, 100.0}, {2.0, 85.0}, {2 * 0.5, 80.0}})));
    // It is at the place of the noise, not at the ear position in the scanner.
    const Assessment assessment = assess(plan);
    CHECK(!assessment.people.front().segments[0].row.position);
    // The level while sequences run is that of the scanner alone.
    CHECK(is(assessment.people.front().while_scanning->dB(), 100.0));
}

TEST_CASE("what is worn during a task beats what the person wears, for that task alone") {
    Task bare{.position = 0, .duration = Hours(0.1), .sequence = 0};
    bare.wears.emplace();
    Task poorly{.position = 0, .duration = Hours(0.2), .sequence = 0};
    poorly.wears = {"poor"};
    Task half{.position = 0, .duration = Hours(0.3), .sequence = 0};
    half.wears = {"good"};
    half.wearing.fraction_of_time = 0.5;
    Plan plan = facility(1, {{.position = 0}, bare, poorly, half});
    plan.people.front().wears = {"good"};
    CHECK(is(day_of(plan),
             LEX_8h({{0.5, 75.0}, {0.1, 95.0}, {0.2, 85.0}, {0.15, 75.0}, {0.15, 95.0}})));
    plan.people.front().wears.clear();
    CHECK(is(day_of(plan),
             LEX_8h({{0.5, 95.0}, {0.1, 95.0}, {0.2, 85.0}, {0.15, 75.0}, {0.15, 95.0}})));
}

TEST_CASE("a poor fit during a task holds for that task") {
    Task poorly{.position = 0, .duration = Hours(0.5), .sequence = 0};
    poorly.wears = {"good"};
    poorly.wearing.poor_fit = true;
    Plan plan = facility(1, {{.position = 0}, poorly});
    plan.people.front().wears = {"good"};
    CHECK(is(day_of(plan), LEX_8h({{0.5, 75.0}, {0.5, 95.0 - poor_fit_reduction.dB()}})));
}

TEST_CASE("an accompanying person hears the tasks and is judged by criteria of the own role") {
    Plan plan = facility(1, {{.position = 0}});
    Person& person = plan.people.front();
    person.role = Role::Accompanying;
    person.policy.criteria = default_criteria(person.role);
    const Assessment assessment = assess(plan);
    const PersonResult& result = assessment.people.front();
    CHECK(is(result.exposure.LEX_8h->dB(), LEX_8h({{0.5, 95.0}})));
    REQUIRE(!result.criteria.empty());
    for (const CriterionResult& criterion : result.criteria)
        CHECK(criterion.criterion->is_for(Role::Accompanying));
    CHECK(!result.while_scanning);  // at the ear position in the scanner lies somebody else
}

TEST_CASE("visits multiply the day's sound exposure") {
    Plan plan = facility(2, {noise(85.0, 8.0, true)});
    CHECK(!assess(plan).people.front().study_Pa2h);
    plan.people.front().visits = 12;
    // 85 dB(A) for 8 h are 1.01 Pa²h (8 h · (20 µPa)² · 10^8.5).
    const double day = 8.0 * 4e-10 * std::pow(10.0, 8.5);
    CHECK(near(*assess(plan).people.front().study_Pa2h, 12.0 * day, 1e-9, Because::Arithmetic));
}
