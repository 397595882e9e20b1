// Totals by person, role, day, week and month, against arithmetic of their own.
#include "sessions/totals.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include "files/study_files.hpp"
#include "support/judged_by.hpp"
#include "support/near.hpp"
#include "support/session_log.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;
using sessions::day_named;

namespace {

std::vector<sessions::PersonTotals> totals_of(const std::vector<registers::Entry>& entries,
                                              const sessions::Calendar& calendar,
                                              const sessions::TotalsAsked& asked) {
    std::vector<sessions::PersonTotals> all;
    sessions::Totals totals(calendar, asked,
                            [&](sessions::PersonTotals&& one) { all.push_back(std::move(one)); });
    for (const auto& entry : entries)
        totals.add(entry);
    totals.end();
    return all;
}

Plan at_work(double LAeq) {
    Plan plan = simple_plan(LAeq, 60.0, 20.0);
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.wears.clear();
    person.tasks = {Task{}};
    person.policy.criteria = default_criteria(Role::Staff);
    return plan;
}

}  // namespace

TEST_CASE("days, weeks and months of staff with uneven days are what arithmetic says") {
    const Plan plan = at_work(86.0);
    const Person& person = plan.people.front();
    const auto calendar = sessions::Calendar::of("Europe/Berlin").value();
    // Seconds at 86 dB(A) by day of October and November.
    const std::map<std::string, double> heard = {{"2026-10-26", 7200.0},  {"2026-10-27", 28800.0},
                                                 {"2026-10-30", 600.0},   {"2026-11-02", 36000.0},
                                                 {"2026-11-05", 14400.0}, {"2026-11-06", 14400.0}};
    SessionLog log(at("2026-10-26T08:00:00+01:00"), "S-0001");
    for (const auto& [date, seconds] : heard) {
        const auto begin = calendar.span_of(day_named(date).value()).from;
        log.wait(sessions::Span{log.now(), {begin.ms + 8 * 3600 * 1000}}.time());
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(seconds / 2.0));
        log.end();
        log.wait(Seconds(600.0));
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(seconds / 2.0));
        log.end();
    }
    const auto all = totals_of(log.entries(), calendar,
                               {.first = day_named("2026-10-01").value(),
                                .last = day_named("2026-11-30").value(),
                                .now = log.now()});
    REQUIRE(all.size() == 1);
    const sessions::PersonTotals& totals = all.front();
    CHECK(totals.as == "S-0001");
    CHECK(totals.role == Role::Staff);
    CHECK(totals.missing.empty());
    REQUIRE(totals.days.size() == heard.size());
    auto expected = heard.begin();
    for (const auto& day : totals.days) {
        CAPTURE(expected->first);
        CHECK(sessions::iso_date(day.day) == expected->first);
        CHECK(day.sessions == 2);
        CHECK(day.runs == 2);
        const double LEX = 86.0 + 10.0 * std::log10(expected->second / 28800.0);
        CHECK(near(day.judged->exposure.LEX_8h->dB(), LEX, 1e-9, Because::Arithmetic));
        CHECK(near(day.judged->exposure.at_ear_LEX_8h->dB(), LEX, 1e-9, Because::Arithmetic));
        CHECK(near(day.judged->exposure.LAeq->dB(), 86.0, 1e-9, Because::Arithmetic));
        CHECK(near(by(*day.judged, "eu-limit").value.value(), LEX, 1e-9, Because::Arithmetic));
        CHECK(near(by(*day.judged, "niosh-rel").value.value(),
                   100.0 * expected->second / 28800.0 * std::exp2(1.0 / 3.0), 1e-9,
                   Because::Arithmetic));
        const double over = LEX > 85.0 ? 1.0 : 0.0;
        CHECK(by(*day.judged, "eu-upper-action").probability_over == over);
        ++expected;
    }
    REQUIRE(totals.weeks.size() == 2);
    const auto LEX_w = [](double seconds) {
        return 86.0 + 10.0 * std::log10(seconds / (5.0 * 28800.0));
    };
    REQUIRE(totals.weeks[0].calendar_week);
    CHECK(sessions::iso_date(totals.weeks[0].first) == "2026-10-26");
    CHECK(sessions::iso_date(totals.weeks[0].last) == "2026-11-01");
    CHECK(near(by(*totals.weeks[0].calendar_week, "eu-limit").value.value(), LEX_w(36600.0), 1e-9,
               Because::Arithmetic));
    CHECK(near(by(*totals.weeks[1].calendar_week, "eu-limit").value.value(), LEX_w(64800.0), 1e-9,
               Because::Arithmetic));
    // The policy lets no average stand for the day: it is shown and decides nothing.
    CHECK_FALSE(by(*totals.weeks[1].calendar_week, "eu-limit").decides);
    REQUIRE(totals.months.size() == 2);
    CHECK(totals.months[0].days == 3);
    CHECK(totals.months[0].sessions == 6);
    CHECK(near(totals.months[0].time.count(), 36600.0, 1e-6, Because::Arithmetic));
    const auto upper =
        std::ranges::find(totals.months[1].by, "eu-upper-action", &sessions::DaysBy::criterion);
    REQUIRE(upper != totals.months[1].by.end());
    CHECK(upper->days == 3);
    CHECK(upper->over == 1);  // 10 h at 86 dB(A)
}

TEST_CASE("the heaviest seven days in a row that end in a week are judged") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);  // 90 dB(A) at the ear
    Person& person = plan.people.front();
    person.policy.criteria = {*find_published_criterion("who-public-adult")};
    const auto calendar = sessions::Calendar::of("UTC").value();
    SessionLog log(at("2026-11-20T08:00:00Z"));  // Friday
    const auto run = [&](double seconds) {
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(seconds));
        log.end();
    };
    run(3600.0);
    log.wait(sessions::Span{log.now(), at("2026-11-24T08:00:00Z")}.time());
    run(1800.0);
    log.wait(sessions::Span{log.now(), at("2026-11-28T08:00:00Z")}.time());
    run(600.0);
    const auto all = totals_of(log.entries(), calendar,
                               {.first = day_named("2026-11-23").value(),
                                .last = day_named("2026-11-29").value(),
                                .now = log.now()});
    REQUIRE(all.size() == 1);
    REQUIRE(all.front().weeks.size() == 1);
    const auto& week = all.front().weeks.front();
    CHECK_FALSE(week.calendar_week);
    REQUIRE(week.seven_days);
    CHECK(sessions::iso_date(week.seven_days_end) == "2026-11-24");
    CHECK(near(by(*week.seven_days, "who-public-adult").value.value(), 100.0 * 5400.0 / 14400.0,
               1e-9, Because::Arithmetic));
    CHECK(all.front().days.size() == 2);  // that before the range is none of it
}

TEST_CASE("what is missing is named, and two codes of one person are one person") {
    const Plan plan = simple_plan(110.0, 60.0, 20.0);
    const Person& person = plan.people.front();
    const auto calendar = sessions::Calendar::of("UTC").value();
    SessionLog log(at("2026-11-23T08:00:00Z"), "P-0001");
    log.start(plan, person);
    log.run(plan, person, 0, Seconds(600.0));
    log.begin_run(plan, person, 0, Seconds(300.0));
    log.wait(Seconds(900.0));
    log.end();
    auto entries = log.entries();
    SessionLog other(at("2026-11-23T12:00:00Z"), "P-0002");
    other.start(plan, person);
    other.run(plan, person, 0, Seconds(600.0));
    for (auto entry : other.entries()) {
        entry.n += 100;
        entry.session = 2;
        entries.push_back(entry);
    }
    const sessions::TotalsAsked asked{.first = day_named("2026-11-23").value(),
                                      .last = day_named("2026-11-23").value(),
                                      .now = other.now()};
    CHECK(totals_of(entries, calendar, asked).size() == 2);
    std::vector<sessions::PersonTotals> all;
    sessions::Totals totals(
        calendar, asked, [&](sessions::PersonTotals&& one) { all.push_back(std::move(one)); },
        [](const std::string&) { return std::string("P-0001"); });
    for (const auto& entry : entries)
        totals.add(entry);
    totals.end();
    REQUIRE(all.size() == 1);
    CHECK(all.front().days.front().sessions == 2);
    CHECK(near(all.front().days.front().judged->exposure.time.count(), 2100.0, 1e-9,
               Because::Arithmetic));
    CHECK(all.front().missing.unconfirmed == std::vector<std::int64_t>{3});
    CHECK(totals.roles().front().people == 1);
}

TEST_CASE("a month of 800 sessions of the demo is judged in time, days alike once") {
    const Plan plan =
        files::read_plan(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/plan.toml").plan;
    const auto calendar = sessions::Calendar::of("Europe/Berlin").value();
    std::vector<registers::Entry> entries;
    std::mt19937 random(9);
    SessionLog first(at("2026-11-02T08:00:00+01:00"));
    first.run_day_as_planned(plan, plan.people.front());
    for (int n = 0; n < 800; ++n) {
        const std::int64_t later =
            (n % 20) * 86400000LL + static_cast<std::int64_t>(random() % 8) * 3600000LL;
        for (auto entry : first.entries()) {
            entry.as = "P-" + std::to_string(n);
            entry.session = n + 1;
            entry.n += n * 100;
            entry.from.ms += later;
            entry.to.ms += later;
            entries.push_back(std::move(entry));
        }
    }
    const sessions::TotalsAsked asked{.first = day_named("2026-11-01").value(),
                                      .last = day_named("2026-11-30").value(),
                                      .now = at("2026-11-30T20:00:00+01:00")};
    std::size_t people = 0;
    sessions::Totals totals(calendar, asked, [&](sessions::PersonTotals&&) { ++people; });
    const auto begin = std::chrono::steady_clock::now();
    for (const auto& entry : entries)
        totals.add(entry);
    totals.end();
    const std::chrono::duration<double> time = std::chrono::steady_clock::now() - begin;
    MESSAGE("a month of 800 sessions: ", time.count() * 1000.0, " ms, judged ", totals.judged());
    CHECK(people == 800);
    CHECK(totals.judged() < 20);
}

TEST_CASE("whose runs are all of unknown level is not passed over") {
    const Plan plan = simple_plan(110.0, 60.0, 20.0);
    const auto calendar = sessions::Calendar::of("UTC").value();
    SessionLog log(at("2026-11-23T08:00:00Z"), "P-0001");
    log.start(plan, plan.people.front());
    log.add(registers::EntryKind::Run, log.now(), {log.now().ms + 60000},
            sessions::text_of(sessions::RunBody{.sequence = "?", .why_unknown = "no card"}));
    const auto all = totals_of(log.entries(), calendar,
                               {.first = day_named("2026-11-23").value(),
                                .last = day_named("2026-11-23").value(),
                                .now = log.now()});
    REQUIRE(all.size() == 1);
    CHECK(all.front().role == Role::Participant);
    CHECK(all.front().missing.unknown_level == std::vector<std::int64_t>{2});
    CHECK(all.front().days.front().judged->verdict == Verdict::Unknown);
}
