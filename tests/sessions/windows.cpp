// What was heard in days, hours and weeks: splitting and order change nothing, and what sessions
// share does not average out.
#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "sessions/judged.hpp"
#include "support/judged_by.hpp"
#include "support/near.hpp"
#include "support/session_log.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;
using sessions::Calendar;
using sessions::day_named;
using sessions::Window;

namespace {

double dose(const sessions::Judged& judged) { return by(judged, "niosh-rel").value.value(); }

/// 110 dB(A) outside, 90 dB(A) under a plug of 20 dB, without errors.
Plan plain_plan(double minutes) {
    Plan plan = simple_plan(110.0, minutes, 20.0);
    plan.people.front().policy.criteria.push_back(*find_published_criterion("who-public-adult"));
    return plan;
}

/// In percent, at 90 dB(A).
double niosh_percent(double seconds) {
    return 100.0 * seconds / (8.0 * 3600.0 / std::exp2((90.0 - 85.0) / 3.0));
}

/// In percent, at 90 dB(A), in a week of 40 h at 80 dB(A) by energy.
double who_percent(double seconds) { return 100.0 * seconds / (40.0 * 3600.0) * 10.0; }

}  // namespace

TEST_CASE("a run across midnight is divided, and both days together have all of it") {
    const Plan plan = plain_plan(60.0);
    const Person& person = plan.people.front();
    const Calendar berlin = Calendar::of("Europe/Berlin").value();
    SessionLog log(at("2026-11-23T23:40:00+01:00"));
    log.start(plan, person);
    log.run(plan, person, 0, Seconds(3600.0));
    log.end();
    sessions::Judge judge(berlin);
    const auto parts = log.heard().parts;
    const auto first = judge.day(parts, day_named("2026-11-23").value(), Role::Participant);
    const auto second = judge.day(parts, day_named("2026-11-24").value(), Role::Participant);
    CHECK(near(dose(*first), niosh_percent(1200.0), 1e-9, Because::Arithmetic));
    CHECK(near(dose(*second), niosh_percent(2400.0), 1e-9, Because::Arithmetic));
    const auto week =
        judge.week(parts, day_named("2026-11-24").value(), Role::Participant, Window::SevenDays);
    CHECK(near(by(*week, "who-public-adult").value.value(), who_percent(3600.0), 1e-9,
               Because::Arithmetic));
    // The loudest hour is the run itself, 23:40 to 0:40; its middle lies in the second day. That of
    // the first day is the one whose middle is midnight: 50 minutes of it are loud.
    const double whole = by(*second, "iec-60601-2-33").value.value();
    CHECK(near(whole, 90.0, 1e-9, Because::Arithmetic));
    const double of_first = by(*first, "iec-60601-2-33").value.value();
    CHECK(near(of_first, 90.0 + 10.0 * std::log10(50.0 / 60.0), 1e-9, Because::Arithmetic));
}

TEST_CASE("an hour runs over sessions that follow each other, with the silence between them") {
    const Plan plan = plain_plan(60.0);
    const Person& person = plan.people.front();
    const Calendar utc = Calendar::of("UTC").value();
    sessions::Judge judge(utc);
    const auto hour_with_gap = [&](double gap_s) {
        SessionLog log(at("2026-11-23T10:00:00Z"));
        for (int n = 0; n < 2; ++n) {
            log.start(plan, person);
            log.run(plan, person, 0, Seconds(1200.0));
            log.end();
            log.wait(Seconds(gap_s));
        }
        const auto parts = log.heard().parts;
        return by(*judge.day(parts, day_named("2026-11-23").value(), Role::Participant),
                  "iec-60601-2-33")
            .value.value();
    };
    const auto average = [](double seconds) { return 90.0 + 10.0 * std::log10(seconds / 3600.0); };
    CHECK(near(hour_with_gap(0.0), average(2400.0), 1e-9, Because::Arithmetic));
    CHECK(near(hour_with_gap(1200.0), average(2400.0), 1e-9, Because::Arithmetic));
    CHECK(near(hour_with_gap(1800.0), average(1800.0), 1e-9, Because::Arithmetic));
    CHECK(near(hour_with_gap(9000.0), average(1200.0), 1e-9, Because::Arithmetic));
}

TEST_CASE("a day across a change of summer time has the hours that ran") {
    const Plan plan = plain_plan(60.0);
    const Person& person = plan.people.front();
    const Calendar berlin = Calendar::of("Europe/Berlin").value();
    sessions::Judge judge(berlin);
    for (const char* date : {"2026-03-29", "2026-10-25"}) {
        CAPTURE(date);
        const auto day = day_named(date).value();
        const auto span = berlin.span_of(day);
        SessionLog log({span.from.ms - 7200000});
        log.start(plan, person);
        log.run(plan, person, 0, span.time() + Seconds(3.0 * 3600.0));
        log.end();
        const double hours = span.time().count() / 3600.0;
        const auto judged = judge.day(log.heard().parts, day, Role::Participant);
        CHECK(near(dose(*judged), niosh_percent(hours * 3600.0), 1e-6, Because::Arithmetic));
        CHECK((hours == 23.0 || hours == 25.0));
    }
}

TEST_CASE("order and splitting of runs leave sums as they are") {
    std::mt19937 random(11);
    const Plan plan = random_plan(random);
    const Person& person = plan.people.front();
    const Calendar utc = Calendar::of("UTC").value();
    const auto day = day_named("2026-11-23").value();
    std::vector<std::pair<std::size_t, double>> runs = {{0, 300}, {1, 700}, {2, 40}, {1, 60}};
    const auto value = [&](const auto& in_order, int parts) {
        SessionLog log(at("2026-11-23T08:00:00Z"));
        log.start(plan, person);
        for (const auto& [sequence, seconds] : in_order) {
            for (int n = 0; n < parts; ++n)
                log.run(plan, person, sequence, Seconds(seconds / parts));
        }
        log.end();
        auto heard = log.heard();
        return sessions::Judge(utc).day(heard.parts, day, Role::Participant);
    };
    const auto once = value(runs, 1);
    std::ranges::reverse(runs);
    for (const auto& other : {value(runs, 1), value(runs, 4)}) {
        CHECK(near(dose(*other) / dose(*once), 1.0, 1e-9, Because::Arithmetic));
        CHECK(near(other->exposure.at_ear_LEX_8h->dB(), once->exposure.at_ear_LEX_8h->dB(), 1e-9,
                   Because::Arithmetic));
        CHECK(near(other->exposure.time.count(), 1100.0, 1e-9, Because::Arithmetic));
    }
    // Entries in any order.
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.run_day_as_planned(plan, person);
    const double in_order =
        dose(*sessions::Judge(utc).day(log.heard().parts, day, Role::Participant));
    std::ranges::shuffle(log.entries(), random);
    CHECK(dose(*sessions::Judge(utc).day(log.heard().parts, day, Role::Participant)) == in_order);
}

TEST_CASE("what two sessions share does not average out, what is a run's own does") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    Person& person = plan.people.front();
    const Calendar utc = Calendar::of("UTC").value();
    const auto standard = [&](UncertaintyParts parts, int sessions_in_a_day) {
        plan.sequences.front().levels.uncertainty = parts.combined();
        plan.sequences.front().levels.uncertainty_parts = parts;
        SessionLog log(at("2026-11-23T08:00:00Z"));
        for (int n = 0; n < sessions_in_a_day; ++n) {
            log.start(plan, person);
            log.run(plan, person, 0, Seconds(600.0));
            log.end();
        }
        const auto judged = sessions::Judge(utc).day(
            log.heard().parts, day_named("2026-11-23").value(), Role::Participant);
        return by(*judged, "niosh-rel").first_order->standard.dB();
    };
    const UncertaintyParts shared{.instrument = LevelDifference(1.5)};
    const UncertaintyParts own{.run = LevelDifference(1.5)};
    // 3 dB exchange: the dose as a level follows the level.
    for (const int sessions_in_a_day : {1, 2, 4}) {
        CHECK(near(standard(shared, sessions_in_a_day), 1.5, 1e-9, Because::Arithmetic));
        CHECK(near(standard(own, sessions_in_a_day), 1.5 / std::sqrt(sessions_in_a_day), 1e-9,
                   Because::Arithmetic));
    }
}

TEST_CASE("what was put in once is one insertion, what was put in again is another") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    Person& person = plan.people.front();
    person.PAR = LevelDifference(20.0);
    person.PAR_uncertainty = LevelDifference(2.0);
    const Calendar utc = Calendar::of("UTC").value();
    const auto standard = [&](bool again) {
        SessionLog log(at("2026-11-23T08:00:00Z"));
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(600.0));
        if (again) log.wear(plan, person, {.wears = {"plug"}, .wearing = {}, .PAR = std::nullopt});
        log.run(plan, person, 0, Seconds(600.0));
        log.end();
        const auto judged = sessions::Judge(utc).day(
            log.heard().parts, day_named("2026-11-23").value(), Role::Participant);
        return by(*judged, "niosh-rel").first_order->standard.dB();
    };
    CHECK(near(standard(false), 2.0, 1e-9, Because::Arithmetic));
    CHECK(near(standard(true), 2.0 / std::sqrt(2.0), 1e-9, Because::Arithmetic));
}

TEST_CASE("a weekly dose counts the last seven days, LEX,w the calendar week") {
    Plan plan = plain_plan(60.0);
    Person& person = plan.people.front();
    person.policy.criteria = {*find_published_criterion("who-public-adult")};
    Plan at_work = plan;
    Person& staff = at_work.people.front();
    staff.role = Role::Staff;
    staff.tasks = {Task{}};
    staff.policy.criteria = {averaged_over_week(*find_published_criterion("eu-limit"))};
    const Calendar utc = Calendar::of("UTC").value();
    sessions::Judge judge(utc);
    // From a Thursday on, every second day.
    SessionLog log(at("2026-11-19T08:00:00Z"));
    for (int n = 0; n < 5; ++n) {
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(600.0 * (n + 1)));
        log.end();
        log.wait(Seconds(2.0 * 86400.0 - 600.0 * (n + 1)));
    }
    const auto parts = log.heard().parts;  // 19, 21, 23, 25, 27 November
    const auto who = [&](const char* date) {
        return by(*judge.week(parts, day_named(date).value(), Role::Participant, Window::SevenDays),
                  "who-public-adult")
            .value.value();
    };
    CHECK(near(who("2026-11-21"), who_percent(1800.0), 1e-9, Because::Arithmetic));
    CHECK(near(who("2026-11-25"), who_percent(6000.0), 1e-9, Because::Arithmetic));
    CHECK(near(who("2026-11-26"), who_percent(5400.0), 1e-9, Because::Arithmetic));
    CHECK(near(who("2026-11-27"), who_percent(8400.0), 1e-9, Because::Arithmetic));

    SessionLog days(at("2026-11-19T08:00:00Z"));
    for (int n = 0; n < 5; ++n) {
        days.start(at_work, staff);
        days.run(at_work, staff, 0, Seconds(600.0 * (n + 1)));
        days.end();
        days.wait(Seconds(2.0 * 86400.0 - 600.0 * (n + 1)));
    }
    const auto of_staff = days.heard().parts;
    const auto weekly = [&](const char* date) {
        return by(*judge.week(of_staff, day_named(date).value(), Role::Staff, Window::CalendarWeek),
                  "eu-limit")
            .value.value();
    };
    const auto LEX_w = [](double seconds) {
        return 90.0 + 10.0 * std::log10(seconds / (5.0 * 8.0 * 3600.0));
    };
    CHECK(near(weekly("2026-11-19"), LEX_w(1800.0), 1e-9, Because::Arithmetic));
    CHECK(near(weekly("2026-11-22"), LEX_w(1800.0), 1e-9, Because::Arithmetic));
    CHECK(near(weekly("2026-11-23"), LEX_w(1800.0 + 2400.0 + 3000.0), 1e-9, Because::Arithmetic));
    CHECK(near(weekly("2026-11-27"), LEX_w(1800.0 + 2400.0 + 3000.0), 1e-9, Because::Arithmetic));
}

TEST_CASE("what is not known leaves nothing within; what is over stays over") {
    const Plan plan = plain_plan(60.0);
    const Person& person = plan.people.front();
    const Calendar utc = Calendar::of("UTC").value();
    const auto day = day_named("2026-11-23").value();
    for (const bool over : {false, true}) {
        SessionLog log(at("2026-11-23T08:00:00Z"));
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(over ? 20000.0 : 60.0));
        const Instant from = log.now();
        log.wait(Seconds(60.0));
        log.add(registers::EntryKind::Run, from, log.now(),
                sessions::text_of(sessions::RunBody{.sequence = "?", .why_unknown = "no card"}));
        const auto judged = sessions::Judge(utc).day(log.heard().parts, day, Role::Participant);
        CHECK(judged->is_level_unknown);
        CHECK(by(*judged, "niosh-rel").verdict == (over ? Verdict::Over : Verdict::Unknown));
        CHECK(judged->verdict == (over ? Verdict::Over : Verdict::Unknown));
    }
}
