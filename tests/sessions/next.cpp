// "May I run that again?"
#include "sessions/next.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "files/study_files.hpp"
#include "support/near.hpp"
#include "support/session_log.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;
using sessions::Limiting;
using sessions::RunsLeft;

namespace {

const sessions::Calendar& utc() {
    static const auto calendar = sessions::Calendar::of("UTC").value();
    return calendar;
}

sessions::Next next_of(const Plan& plan, SessionLog& log) {
    sessions::Judge judge(utc());
    const Person& person = plan.people.front();
    return sessions::next_runs(log.heard(), sessions::runs_of_plan(plan, person, {}), person.role,
                               log.session(), log.now(), judge);
}

/// 90 dB(A) at the ear, without errors: of NIOSH's 8 h at 85 dB(A) so many runs.
unsigned runs_by_niosh(double heard_s, double run_s) {
    const double allowed = 8.0 * 3600.0 / std::exp2(5.0 / 3.0);
    return static_cast<unsigned>((allowed - heard_s) / run_s);
}

}  // namespace

TEST_CASE("runs left are what the limit leaves of today") {
    const Plan plan = simple_plan(110.0, 5.0, 20.0);
    const Person& person = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, person);
    for (const double heard : {0.0, 900.0, 900.0, 6000.0}) {
        if (heard > 0.0) log.run(plan, person, 0, Seconds(heard));
        double all = 0.0;
        for (const auto& part : log.heard().parts)
            all += part.when.time().count();
        const auto next = next_of(plan, log);
        REQUIRE(next.sequences.size() == 1);
        const RunsLeft& left = next.sequences.front();
        CHECK(left.id == "a");
        CHECK(left.runs == runs_by_niosh(all, 300.0));
        CHECK(left.best_estimate == left.runs);
        CHECK(left.limiting == Limiting::Exposure);
        CHECK(left.limited_by == "niosh-rel");
    }
    // Another day.
    log.end();
    log.wait(Seconds(86400.0));
    log.start(plan, person);
    CHECK(next_of(plan, log).sequences.front().runs == runs_by_niosh(0.0, 300.0));
}

TEST_CASE("the hour before counts whatever the date, and silence in it too") {
    Plan plan = simple_plan(120.0, 5.0, 20.0);  // 100 dB(A) at the ear
    Person& person = plan.people.front();
    person.policy.criteria = {*find_published_criterion("iec-60601-2-33")};
    person.policy.criteria.front().peak.reset();
    const auto asked_after = [&](double gap_s) {
        SessionLog log(at("2026-11-23T23:30:00Z"));
        log.start(plan, person);
        log.run(plan, person, 0, Seconds(1500.0));  // until 23:55
        log.end();
        log.wait(Seconds(gap_s));
        log.start(plan, person);
        return next_of(plan, log);
    };
    const auto runs_after = [&](double gap_s) { return asked_after(gap_s).sequences.front(); };
    // 99 dB(A) over an hour is 100 dB(A) for 2859.6 s.
    const double allowed = 3600.0 * std::pow(10.0, -0.1);
    CHECK(runs_after(600.0).runs == static_cast<unsigned>((allowed - 1500.0) / 300.0));
    CHECK(runs_after(600.0).limited_by == "iec-60601-2-33");
    CHECK(runs_after(4000.0).runs == static_cast<unsigned>(allowed / 300.0));
    // What was heard so far is that hour too, after midnight as before.
    const auto so_far = asked_after(600.0).so_far;
    REQUIRE(so_far->criteria.size() == 1);
    REQUIRE(so_far->criteria.front().value.has_value());
    CHECK(*so_far->criteria.front().value > 90.0);
    CHECK(asked_after(4000.0).so_far->criteria.empty());
}

TEST_CASE("what was heard in the last seven days counts for a weekly limit, in any study") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    Person& person = plan.people.front();
    person.policy.criteria = {*find_published_criterion("who-public-adult")};
    Plan other = simple_plan(105.0, 60.0, 15.0);  // 90 dB(A) at the ear too
    other.people.front().policy.criteria = {*find_published_criterion("niosh-rel")};
    SessionLog log(at("2026-11-20T08:00:00Z"));
    log.start(other, other.people.front());
    log.run(other, other.people.front(), 0, Seconds(3600.0));
    log.end();
    log.wait(Seconds(3.0 * 86400.0));
    log.start(plan, person);
    // 4 h at 90 dB(A) a week.
    CHECK(next_of(plan, log).sequences.front().runs == 3);
    CHECK(next_of(plan, log).sequences.front().limited_by == "who-public-adult");
    log.wait(Seconds(4.0 * 86400.0));
    CHECK(next_of(plan, log).sequences.front().runs == 4);
}

TEST_CASE("nothing fits after pain, ringing or dulled hearing until somebody has cleared it") {
    const Plan plan = simple_plan(90.0, 5.0, 20.0);
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, plan.people.front());
    CHECK(next_of(plan, log).sequences.front().runs > 0);
    log.event(sessions::EventKind::Pain);
    const std::int64_t event = log.entries().back().n;
    const auto next = next_of(plan, log);
    CHECK(next.sequences.front().runs == 0);
    CHECK(next.sequences.front().best_estimate == 0);
    CHECK(next.sequences.front().limiting == Limiting::Stopped);
    REQUIRE(next.stop.has_value());
    CHECK(next.stop->entry == event);
    log.clear(event);
    CHECK(next_of(plan, log).sequences.front().runs > 0);
}

TEST_CASE("nothing is said to fit of what is not known") {
    const Plan plan = simple_plan(90.0, 5.0, 20.0);
    const Person& person = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, person);
    sessions::Judge judge(utc());
    auto runs = sessions::runs_of_plan(plan, person, {});
    runs.push_back({.id = "other", .time = Seconds(60.0), .why_unknown = "no level there"});
    const auto next = sessions::next_runs(log.heard(), runs, person.role, 1, log.now(), judge);
    REQUIRE(next.sequences.size() == 2);
    CHECK(next.sequences[0].runs > 0);
    CHECK(next.sequences[1].runs == 0);
    CHECK(next.sequences[1].limiting == Limiting::LevelUnknown);
    CHECK(next.sequences[1].why_unknown == "no level there");
    log.add(registers::EntryKind::Run, log.now(), {log.now().ms + 1000},
            sessions::text_of(sessions::RunBody{.sequence = "?", .why_unknown = "no card"}));
    const auto then = sessions::next_runs(log.heard(), runs, person.role, 1, log.now(), judge);
    CHECK(then.sequences[0].runs == 0);
    CHECK(then.sequences[0].limiting == Limiting::HeardUnknown);
    // Without a criterion for the role.
    Plan none = plan;
    none.people.front().policy.criteria.clear();
    SessionLog nobody(at("2026-11-23T08:00:00Z"));
    nobody.start(none, none.people.front());
    CHECK(next_of(none, nobody).sequences.front().limiting == Limiting::NoLimit);
}

TEST_CASE("a peak above its limit fits in no run") {
    Plan plan = simple_plan(110.0, 5.0, 20.0);
    plan.sequences.front().levels.LCpeak = PeakLevelC(143.0);
    plan.sequences.front().levels.LZpeak = PeakLevelZ(144.0);
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, plan.people.front());
    const auto next = next_of(plan, log);
    CHECK(next.sequences.front().runs == 0);
    CHECK(next.sequences.front().limiting == Limiting::Peak);
    CHECK(next.sequences.front().limited_by == "iec-60601-2-33");
}

TEST_CASE("the demo's answer is the plan's own, and is there in time") {
    const Plan plan =
        files::read_plan(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/plan.toml").plan;
    const Person& pilot = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.run_day_as_planned(plan, pilot);
    const auto heard = log.heard();
    const auto runs = sessions::runs_of_plan(plan, pilot, {});
    sessions::Judge judge(utc());
    const auto begin = std::chrono::steady_clock::now();
    const auto next = sessions::next_runs(heard, runs, pilot.role, log.session(), log.now(), judge);
    const std::chrono::duration<double> time = std::chrono::steady_clock::now() - begin;
    MESSAGE("next of the demo: ", time.count() * 1000.0, " ms");
    const Assessment planned = assess(plan);
    for (const RunsLeft& left : next.sequences) {
        CAPTURE(left.id);
        const auto segment =
            std::ranges::find_if(planned.people.front().segments, [&](const SegmentResult& one) {
                return one.row.sequence && plan.sequences[*one.row.sequence].id == left.id;
            });
        REQUIRE(segment != planned.people.front().segments.end());
        MESSAGE(left.id, " ", left.runs, " ", left.best_estimate, " ", left.limited_by, ", plan ",
                *segment->repeats_left, " ", *segment->repeats_left_best_estimate);
        CHECK(left.best_estimate == *segment->repeats_left_best_estimate);
        const int apart = static_cast<int>(left.runs) - static_cast<int>(*segment->repeats_left);
        CHECK(std::abs(apart) <= 1 + static_cast<int>(left.runs) / 100);
    }
}
