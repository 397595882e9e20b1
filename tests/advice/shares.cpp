// What drives the exposure: shares add up, and every drop is what leaving out the thing gives.
#include <algorithm>
#include <numeric>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "report/words/words.hpp"
#include "support/apply_advice.hpp"
#include "support/near.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::optional<LevelA> level_of(const Plan& plan) {
    return daily_exposure_level(day_exposure(plan, plan.people.front()).at_ear());
}

Plan without_sequence(Plan plan, std::size_t sequence) {
    std::erase_if(plan.timeline, [&](const TimelineRow& row) { return row.sequence == sequence; });
    std::erase_if(plan.people.front().tasks,
                  [&](const Task& task) { return task.sequence == sequence; });
    return plan;
}

Plan without_task(Plan plan, std::size_t task) {
    auto& tasks = plan.people.front().tasks;
    tasks.erase(tasks.begin() + static_cast<std::ptrdiff_t>(task));
    return plan;
}

double sum_of(const std::vector<Share>& shares) {
    return std::accumulate(shares.begin(), shares.end(), 0.0,
                           [](double sum, const Share& share) { return sum + share.percent; });
}

void check_shares(const std::vector<Share>& shares) {
    CHECK(near(sum_of(shares), 100.0, 1e-6, Because::Arithmetic));
    CHECK(std::ranges::is_sorted(shares, std::ranges::greater(), &Share::percent));
}

void check_drop(const Share& share, LevelA now, const std::optional<LevelA>& without) {
    CHECK(share.drop.has_value() == without.has_value());
    if (share.drop && without) {
        // One part in a million million of the energy may be lost where nearly all is taken off.
        CHECK(near(share.drop->dB(), (now - *without).dB(), 1e-3, Because::Arithmetic));
    }
}

// The largest of all single changes, each made in the plan.
double largest_drop(const Plan& plan, const PersonResult& result, LevelA now) {
    double largest = 0.0;
    const auto consider = [&](const Plan& other) {
        if (const auto then = level_of(other)) largest = std::max(largest, (now - *then).dB());
    };
    const Person& person = plan.people.front();
    for (std::size_t i = 0; i < plan.sequences.size(); ++i)
        consider(without_sequence(plan, i));
    for (std::size_t i = 0; i < person.tasks.size(); ++i)
        consider(without_task(plan, i));
    consider(with_sessions(plan, 1));
    if (!person.wears.empty()) {
        consider(earbudget::test::wearing(plan, person.wears, {1.0, person.wearing.poor_fit}));
    }
    if (result.verdict == Verdict::Over || result.verdict == Verdict::Close) {
        for (const Candidate& candidate : candidates_for(plan, person).tried)
            consider(earbudget::test::wearing(plan, candidate.wears, {}));
    }
    return largest;
}

}  // namespace

TEST_CASE("shares sum to 100 %, and a drop is what assessing without it gives") {
    std::mt19937 random(61);
    int tasks = 0;
    for (int round = 0; round < 500; ++round) {
        CAPTURE(round);
        const Plan plan = random_staff_plan(random);
        const ExposureDay day = day_exposure(plan, plan.people.front());
        const LevelA now = *level_of(plan);
        check_shares(shares_of_sequences(day));
        for (const Share& share : shares_of_sequences(day)) {
            if (share.sequence)
                check_drop(share, now, level_of(without_sequence(plan, *share.sequence)));
        }
        const auto of_tasks = shares_of_tasks(day);
        CHECK(of_tasks.empty() == plan.people.front().tasks.empty());
        if (!of_tasks.empty()) check_shares(of_tasks);
        for (const Share& share : of_tasks) {
            if (!share.task) continue;
            ++tasks;
            check_drop(share, now, level_of(without_task(plan, *share.task)));
        }
    }
    CHECK(tasks > 500);
}

TEST_CASE("the largest change is the largest of all, each made in the plan and assessed") {
    std::mt19937 random(62);
    int changes = 0;
    std::vector<std::string> kinds;
    for (int round = 0; round < 500; ++round) {
        CAPTURE(round);
        Plan plan = random_staff_plan(random);
        // A plan cannot say that a fit test still holds for a task once something else is worn.
        plan.people.front().PAR = std::nullopt;
        const Assessment assessment = assess(plan);
        const PersonResult& result = assessment.people.front();
        const double largest = largest_drop(plan, result, *result.exposure.at_ear_LEX_8h);
        CAPTURE(largest);
        CHECK(result.largest_change.has_value() == (largest > 0.05));
        if (!result.largest_change) continue;
        ++changes;
        kinds.push_back(text_of(result.largest_change->says).substr(0, 4));
        CAPTURE(text_of(result.largest_change->says));
        CHECK(near(result.largest_change->drop.dB(), largest, 1e-3, Because::Arithmetic));
    }
    CHECK(changes > 400);
    for (const char* kind : {"with", "one ", "wear", "worn"}) {
        CAPTURE(kind);
        CHECK(std::ranges::count(kinds, kind) > 0);
    }
}

TEST_CASE("without sound there are no shares to drop and no change") {
    Plan plan{.title = "silence"};
    plan.timeline.push_back({.sequence = {}, .duration = Seconds(60)});
    plan.people.push_back(participant({}));
    const ExposureDay day = day_exposure(plan, plan.people.front());
    const auto shares = shares_of_sequences(day);
    REQUIRE(shares.size() == 1);
    CHECK(shares[0].percent == 0.0);
    CHECK(!largest_change(plan, plan.people.front(), day, {}));
}
