// What is heard where: measured there, by the difference, with the room's own background.
#include "earbudget/day/exposure_row.hpp"

#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// A run of 100 dB(A) and a rest in 60 dB(A), heard by staff at one position.
Plan plan_at(const Transmission& there) {
    Plan plan = plan_of(100.0, 10.0, {});
    plan.sequences.front().levels.uncertainty = LevelDifference(1.2);
    plan.background = SoundLevels{.LAeq = LevelA(60.0)};
    plan.timeline.push_back({.sequence = {}, .duration = Seconds(60)});
    make_staff(plan);
    plan.positions.front().door_shut = there;
    plan.positions.front().stated_at = {"site.toml", 7, 1};
    return plan;
}

std::vector<ExposureRow> rows_at(const Transmission& there) {
    const Plan plan = plan_at(there);
    return unprotected_rows(plan, plan.people.front()).or_throw();
}

}  // namespace

TEST_CASE("the difference holds for sequences and for the background") {
    const auto rows = rows_at({.difference = LevelDifference(-20.0)});
    REQUIRE(rows.size() == 2);
    CHECK(rows[0].outside()->dB() == 80.0);
    CHECK(rows[1].outside()->dB() == 40.0);
    CHECK(rows[0].timeline_row == 0U);
    CHECK(rows[1].timeline_row == 1U);
    CHECK(rows[0].task == 0U);
    CHECK(rows[0].position == 0U);
}

TEST_CASE("a card measured there beats every difference, and needs none") {
    const SoundLevels measured{.LAeq = LevelA(71.0), .uncertainty = LevelDifference(0.7)};
    Transmission there{.difference = LevelDifference(-20.0),
                       .uncertainty = LevelDifference(5.0),
                       .background = SoundLevels{.LAeq = LevelA(71.0)},
                       .measured = {{0, measured}}};
    // As measured: the background there is in it already.
    CHECK(rows_at(there)[0].outside()->dB() == 71.0);
    CHECK(rows_at(there)[0].sound->uncertainty->dB() == 0.7);
    there.difference = std::nullopt;
    CHECK(rows_at(there)[0].outside()->dB() == 71.0);
}

TEST_CASE("the background measured there stands for rests and adds its energy to sequences") {
    const auto rows = rows_at(
        {.difference = LevelDifference(-20.0), .background = SoundLevels{.LAeq = LevelA(80.0)}});
    CHECK(near(rows[0].outside()->dB(), 80.0 + 10.0 * std::log10(2.0), 1e-9, Because::Arithmetic));
    CHECK(rows[1].outside()->dB() == 80.0);
}

TEST_CASE("uncertainties of card and difference add by their squares") {
    const auto rows =
        rows_at({.difference = LevelDifference(-20.0), .uncertainty = LevelDifference(1.6)});
    CHECK(near(rows[0].sound->uncertainty->dB(), 2.0, 1e-9, Because::Arithmetic));  // 1.2 and 1.6
    CHECK(!rows[1].sound->uncertainty);  // the background states none
    const auto exact = rows_at({.difference = LevelDifference(-20.0)});
    CHECK(exact[0].sound->uncertainty->dB() == 1.2);
}

TEST_CASE("the door of a task decides what is heard there") {
    Plan plan = plan_at({.difference = LevelDifference(-30.0)});
    plan.positions.front().door_open = Transmission{.difference = LevelDifference(-10.0)};
    Person& person = plan.people.front();
    CHECK(unprotected_rows(plan, person).or_throw()[0].outside()->dB() == 70.0);
    person.tasks.front().door_open = true;
    CHECK(unprotected_rows(plan, person).or_throw()[0].outside()->dB() == 90.0);
}

TEST_CASE("a position that says nothing of a sequence names itself, the sequence and the remedy") {
    Transmission wall;
    wall.octave_difference = {{OctaveBand::Hz125, LevelDifference(-5.0)}};
    const Plan plan = plan_at(wall);
    try {
        static_cast<void>(assess(plan));
        FAIL("no error");
    } catch (const Obstacle& error) {
        const std::string words = text_of(error);
        CAPTURE(words);
        CHECK(words.find("site.toml:7:1") != std::string::npos);
        CHECK(words.find("\"beside\"") != std::string::npos);
        CHECK(words.find("\"a\"") != std::string::npos);
        CHECK(words.find("accepted") != std::string::npos);
    }
}

TEST_CASE("once a day comes first, and the timeline before a participant's own tasks") {
    Plan plan = plan_at({.difference = LevelDifference(-20.0)});
    Person& person = plan.people.front();
    person.tasks.push_back({.position = 0, .duration = Seconds(30), .once_a_day = true});
    auto rows = unprotected_rows(plan, person).or_throw();
    REQUIRE(rows.size() == 3);
    CHECK(rows[0].task == 1U);
    CHECK(rows[0].once_a_day);
    CHECK(rows[1].timeline_row == 0U);
    person.role = Role::Participant;
    person.tasks = {{.duration = Seconds(30), .levels = SoundLevels{.LAeq = LevelA(50.0)}}};
    rows = unprotected_rows(plan, person).or_throw();
    REQUIRE(rows.size() == 3);
    CHECK(!rows[0].task);
    CHECK(rows[0].outside()->dB() == 100.0);
    CHECK(rows[2].outside()->dB() == 50.0);
    CHECK(!rows[2].timeline_row);
}

TEST_CASE(
    "a day that cannot be computed is an obstacle with its place; who needs the day throws it") {
    const Plan silent = plan_at({});
    const Person& person = silent.people.front();
    const auto rows = unprotected_rows(silent, person);
    REQUIRE(!rows);
    CHECK(rows.obstacle().position() == silent.positions.front().stated_at);
    const auto day = day_or_obstacle(silent, person);
    REQUIRE(!day);
    CHECK(text_of(day.obstacle()) == text_of(rows.obstacle()));
    CHECK_THROWS_AS(static_cast<void>(day_exposure(silent, person)), Obstacle);
    const Plan plan = plan_at({.difference = LevelDifference(-20.0)});
    const auto possible = day_or_obstacle(plan, plan.people.front());
    REQUIRE(possible);
    CHECK(possible->rows.size() == 2);
    CHECK_THROWS_AS(static_cast<void>(assess(silent)), Obstacle);
}
