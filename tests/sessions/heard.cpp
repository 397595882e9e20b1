// What entries say of a person: runs that were begun and not stopped, corrections, rests, events.
#include "sessions/heard.hpp"

#include <algorithm>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/session_log.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;
using sessions::Heard;
using sessions::HeardKind;

namespace {

std::vector<Heard> runs_of(const sessions::HeardByPerson& heard) {
    std::vector<Heard> runs = heard.parts;
    std::erase_if(runs, [](const Heard& part) { return part.kind != HeardKind::Run; });
    return runs;
}

Plan plan_with_background() {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    plan.background = SoundLevels{.LAeq = LevelA(66.0), .uncertainty = LevelDifference(1.0)};
    return plan;
}

}  // namespace

TEST_CASE("a run that was not stopped counts until now, and at least as long as planned") {
    const Plan plan = plan_with_background();
    const Person& person = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, person);
    const Instant begin = log.now();
    log.begin_run(plan, person, 0, Seconds(600.0));
    const auto seconds_at = [&](double later) {
        const Instant now{begin.ms + static_cast<std::int64_t>(later * 1000.0)};
        const auto runs = runs_of(log.heard(now));
        REQUIRE(runs.size() == 1);
        CHECK(runs.front().unconfirmed);
        CHECK(runs.front().exposure);
        return runs.front().when.time().count();
    };
    CHECK(seconds_at(60.0) == 600.0);
    CHECK(seconds_at(600.0) == 600.0);
    CHECK(seconds_at(900.0) == 900.0);
    SUBCASE("until another run begins") {
        log.wait(Seconds(300.0));
        log.run(plan, person, 0, Seconds(60.0));
        const auto runs = runs_of(log.heard());
        REQUIRE(runs.size() == 2);
        CHECK(runs[0].when.time().count() == 300.0);
        CHECK(runs[0].unconfirmed);
        CHECK_FALSE(runs[1].unconfirmed);
    }
    SUBCASE("until the session ends, or ears hurt") {
        log.wait(Seconds(700.0));
        log.event(sessions::EventKind::Ringing);
        log.wait(Seconds(100.0));
        log.end();
        CHECK(seconds_at(5000.0) == 700.0);
    }
    SUBCASE("but a plug that came loose says nothing of its end") {
        log.wait(Seconds(100.0));
        log.event(sessions::EventKind::PlugLoose);
        CHECK(seconds_at(5000.0) == 5000.0);
    }
}

TEST_CASE("a run that was stopped is one run, also where its beginning was corrected") {
    const Plan plan = plan_with_background();
    const Person& person = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, person);
    log.begin_run(plan, person, 0, Seconds(600.0));
    auto& begun = log.entries().back();
    const Instant from = log.now();
    SUBCASE("as it stands") {}
    SUBCASE("its beginning corrected") {
        begun.corrects = begun.n;
        begun.n = 100;
    }
    const std::int64_t started = begun.corrects.value_or(begun.n);
    log.wait(Seconds(130.0));
    sessions::RunBody body{.sequence = "a", .started = started};
    body.exposure = std::make_shared<const sessions::ExposureRecord>(
        sessions::record_of_run(plan, person, 0, {}).or_throw());
    log.add(registers::EntryKind::Run, {from.ms + 500}, log.now(), sessions::text_of(body));
    const auto runs = runs_of(log.heard(at("2026-11-23T12:00:00Z")));
    REQUIRE(runs.size() == 1);
    CHECK(runs.front().when.time().count() == 129.5);
    CHECK_FALSE(runs.front().unconfirmed);
}

TEST_CASE("rests fill what lies between runs of a session, and nothing between sessions") {
    const Plan plan = plan_with_background();
    const Person& person = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    for (int n = 0; n < 2; ++n) {
        log.start(plan, person);
        log.wait(Seconds(60.0));
        log.run(plan, person, 0, Seconds(300.0));
        log.wait(Seconds(30.0));
        log.run(plan, person, 0, Seconds(300.0));
        log.wait(Seconds(10.0));
        if (n == 0) log.end();
        log.wait(Seconds(500.0));
    }
    Seconds rests(0.0), runs(0.0);
    const auto heard = log.heard();
    for (const Heard& part : heard.parts)
        (part.kind == HeardKind::Rest ? rests : runs) += part.when.time();
    CHECK(runs.count() == 1200.0);
    CHECK(rests.count() == 60.0 + 30.0 + 10.0 + 60.0 + 30.0);  // the second has no end yet
    CHECK(sessions::overlapping(heard.parts).empty());
    for (std::size_t n = 1; n < heard.parts.size(); ++n)
        CHECK(heard.parts[n - 1].when.to <= heard.parts[n].when.from);
}

TEST_CASE("what ends sessions stands until somebody has cleared it") {
    const Plan plan = plan_with_background();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, plan.people.front());
    log.event(sessions::EventKind::SqueezeBall);
    CHECK(log.heard().stop() == nullptr);
    log.event(sessions::EventKind::DulledHearing);
    auto& event = log.entries().back();
    REQUIRE(log.heard().stop() != nullptr);
    CHECK(log.heard().stop()->what == sessions::EventKind::DulledHearing);
    SUBCASE("as it stands") { log.clear(event.n); }
    SUBCASE("by the number that it had before it was corrected") {
        const std::int64_t first = event.n;
        event.corrects = first;
        event.n = 100;
        log.clear(first);
    }
    CHECK(log.heard().stop() == nullptr);
}

TEST_CASE("the same run twice counts twice and is named") {
    const Plan plan = plan_with_background();
    const Person& person = plan.people.front();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, person);
    log.run(plan, person, 0, Seconds(300.0));
    auto copy = log.entries().back();
    copy.n = 50;
    copy.session = 7;
    log.entries().push_back(copy);
    const auto heard = log.heard();
    CHECK(runs_of(heard).size() == 2);
    const auto twice = sessions::overlapping(heard.parts);
    REQUIRE(twice.size() == 1);
    CHECK(twice.front() == std::pair<std::int64_t, std::int64_t>(2, 50));
}

TEST_CASE("what is damaged is named and counts as a level that nobody knows") {
    const Plan plan = plan_with_background();
    SessionLog log(at("2026-11-23T08:00:00Z"));
    log.start(plan, plan.people.front());
    log.run(plan, plan.people.front(), 0, Seconds(300.0));
    log.entries().back().body.resize(100);
    const auto heard = log.heard();
    CHECK(heard.damaged == std::vector<std::int64_t>{2});
    REQUIRE(runs_of(heard).size() == 1);
    CHECK_FALSE(runs_of(heard).front().exposure);
    for (auto& entry : log.entries())
        entry.body = "[[[";
    CHECK(log.heard().damaged.size() == 2);
}
