// A person whose runs all ran as planned has the plan's own assessment.
#include <algorithm>
#include <random>
#include <string>
#include <utility>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "files/study_files.hpp"
#include "sessions/from_heard.hpp"
#include "sessions/judged.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"
#include "support/random_staff_plan.hpp"
#include "support/session_log.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double equal_dB = 1e-9;           // the same sums in another order
constexpr double equal_probability = 0.01;  // other streams of draws

const Plan& saltmarsh() {
    static const Plan plan =
        files::read_plan(std::string(EARBUDGET_SOURCE_DIR) + "/sequences/saltmarsh/plan.toml").plan;
    return plan;
}

void check_same(const std::vector<CriterionResult>& found,
                const std::vector<CriterionResult>& planned) {
    REQUIRE(found.size() == planned.size());
    for (std::size_t n = 0; n < found.size(); ++n) {
        CAPTURE(planned[n].criterion->id);
        CAPTURE(planned[n].is_peak);
        CHECK(found[n].criterion->id == planned[n].criterion->id);
        CHECK(found[n].is_peak == planned[n].is_peak);
        CHECK(found[n].decides == planned[n].decides);
        CHECK(found[n].by_bound == planned[n].by_bound);
        CHECK(found[n].limited_by_origin == planned[n].limited_by_origin);
        REQUIRE(found[n].value.has_value() == planned[n].value.has_value());
        if (found[n].value) {
            const double size = std::max(1.0, std::abs(*planned[n].value));
            CHECK(near(*found[n].value, *planned[n].value, size * equal_dB, Because::Arithmetic));
        }
        REQUIRE(found[n].margin.has_value() == planned[n].margin.has_value());
        if (found[n].margin)
            CHECK(near(found[n].margin->dB(), planned[n].margin->dB(), equal_dB,
                       Because::Arithmetic));
        REQUIRE(found[n].probability_over.has_value() == planned[n].probability_over.has_value());
        if (found[n].probability_over)
            CHECK(near(*found[n].probability_over, *planned[n].probability_over, equal_probability,
                       Because::SeededRandomness));
        REQUIRE(found[n].first_order.has_value() == planned[n].first_order.has_value());
        const bool near_accepted =
            planned[n].probability_over && std::abs(*planned[n].probability_over - 0.05) < 0.01;
        if (!near_accepted) CHECK(found[n].verdict == planned[n].verdict);
    }
}

/// A register has milliseconds; a day of 24 hours holds no more sessions than one; who is at two
/// places during the timeline is there one after the other in a plan.
void in_whole_seconds(Plan& plan) {
    const auto whole = [](Seconds& time) { time = Seconds(std::round(time.count())); };
    for (TimelineRow& row : plan.timeline)
        whole(row.duration);
    Person& person = plan.people.front();
    person.sessions_per_day = 1;
    person.days_per_week = std::nullopt;
    bool follows = person.role == Role::Participant;
    std::erase_if(person.tasks,
                  [&](const Task& task) { return !task.duration && std::exchange(follows, true); });
    for (Task& task : person.tasks)
        if (task.duration) whole(*task.duration);
}

void check_as_planned(const Plan& plan, const Person& person, const PersonResult& planned,
                      const sessions::Calendar& calendar) {
    CAPTURE(person.id);
    SessionLog log(at("2026-11-23T00:00:00Z"));
    log.run_day_as_planned(plan, person);
    sessions::Judge judge(calendar);
    const auto heard = log.heard();
    CHECK(heard.damaged.empty());
    const auto day = calendar.day_of(at("2026-11-23T00:00:00Z"));
    const auto judged = judge.now(heard.parts, day, person.role, log.now());
    check_same(judged->criteria, planned.criteria);
    REQUIRE(judged->exposure.at_ear_LEX_8h.has_value() ==
            planned.exposure.at_ear_LEX_8h.has_value());
    if (planned.exposure.LEX_8h) {
        CHECK(near(judged->exposure.LEX_8h->dB(), planned.exposure.LEX_8h->dB(), equal_dB,
                   Because::Arithmetic));
        CHECK(near(judged->exposure.at_ear_LEX_8h->dB(), planned.exposure.at_ear_LEX_8h->dB(),
                   equal_dB, Because::Arithmetic));
    }
}

}  // namespace

TEST_CASE("everybody of the demo is judged after a day as planned as the plan judges") {
    const auto calendar = sessions::Calendar::of("UTC").value();
    const Assessment planned = assess_verdicts(saltmarsh());
    for (std::size_t n = 0; n < saltmarsh().people.size(); ++n)
        check_as_planned(saltmarsh(), saltmarsh().people[n], planned.people[n], calendar);
}

TEST_CASE("random participants and staff are judged after a day as planned as the plan judges") {
    const auto calendar = sessions::Calendar::of("UTC").value();
    std::mt19937 random(21);
    for (int n = 0; n < 12; ++n) {
        CAPTURE(n);
        Plan plan = n % 2 == 0 ? random_plan(random) : random_staff_plan(random);
        plan.draws.draws = 8192;
        plan.draws.draws_of_times = lattice_size;
        in_whole_seconds(plan);
        const Assessment planned = assess_verdicts(plan);
        for (std::size_t person = 0; person < plan.people.size(); ++person)
            check_as_planned(plan, plan.people[person], planned.people[person], calendar);
    }
}

TEST_CASE("a plan on top of nothing is the plan; on top of itself it is twice the plan") {
    const auto calendar = sessions::Calendar::of("Europe/Berlin").value();
    const Plan& plan = saltmarsh();
    const Person& pilot = plan.people.front();
    const Assessment planned = assess_verdicts(plan);
    sessions::Judge judge(calendar);
    const Instant now = at("2026-11-24T08:00:00+01:00");
    const auto alone =
        sessions::assess_from(plan, {pilot.id, "P-0001", {}}, now, judge, {"test", {}});
    check_same(alone.together->criteria, planned.people.front().criteria);

    SessionLog log(at("2026-11-24T06:00:00+01:00"));
    log.run_day_as_planned(plan, pilot);
    const auto both =
        sessions::assess_from(plan, {pilot.id, "P-0001", log.heard()}, now, judge, {"test", {}});
    const auto dose = [](const std::vector<CriterionResult>& criteria) {
        return std::ranges::find(criteria, "niosh-rel",
                                 [](const CriterionResult& one) { return one.criterion->id; })
            ->value.value();
    };
    const double once = dose(planned.people.front().criteria);
    CHECK(near(dose(both.so_far->criteria), once, 1e-9 * once, Because::Arithmetic));
    CHECK(near(dose(both.together->criteria), 2.0 * once, 1e-9 * once, Because::Arithmetic));
    const Assessment with = sessions::with_heard(assess(plan), {both});
    CHECK(with.people.front().verdict == both.together->verdict);
    CHECK(with.people.front().advice.empty());
}
