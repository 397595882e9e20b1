// Which people are answered for once. What they then read is held in
// end_to_end/homogeneous_groups.cpp.
#include "earbudget/choice/homogeneous_groups.hpp"

#include <functional>

#include <doctest/doctest.h>

#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A person of the plan's file, stated with a policy in that line or in one of the person's own.
Person stated_in(unsigned line, unsigned line_of_policy) {
    Person person = participant({"plug"});
    person.id += std::to_string(line);
    person.stated_at = {"plan.toml", line, 1};
    person.policy.stated_at = {"plan.toml", line_of_policy, 1};
    return person;
}

}  // namespace

TEST_CASE("people who differ in id and places alone are alike") {
    const auto groups = homogeneous_groups({stated_in(10, 2), stated_in(20, 2), stated_in(30, 30)});
    REQUIRE(groups.size() == 1);
    CHECK(groups.front() == std::vector<std::size_t>{0, 1, 2});
    CHECK(homogeneous_groups({}).empty());
}

TEST_CASE("whatever else differs sets people apart, and groups stand in the order of their first") {
    using Change = std::function<void(Person&)>;
    const std::vector<Change> changes = {
        [](Person& p) { p.role = Role::Staff; },
        [](Person& p) { p.wears = {}; },
        [](Person& p) { p.wearing.fraction_of_time = 0.9; },
        [](Person& p) { p.wearing.poor_fit = true; },
        [](Person& p) { p.PAR = LevelDifference(20.0); },
        [](Person& p) { p.PAR_uncertainty = LevelDifference(2.0); },
        [](Person& p) { p.fit_uncertainty = LevelDifference(2.0); },
        [](Person& p) { p.worn_uncertainty = 0.1; },
        [](Person& p) { p.cannot_wear = {"muff"}; },
        [](Person& p) { p.only = WearsOnly::Plugs; },
        [](Person& p) { p.canal = CanalSize::Small; },
        [](Person& p) { p.sessions_per_day = 2; },
        [](Person& p) { p.days_per_week = 5.0; },
        [](Person& p) { p.visits = 3; },
        [](Person& p) { p.tasks.emplace_back(); },
        [](Person& p) { p.policy.rules.method = Method::Snr; },
        [](Person& p) { p.policy.rules.derating.kind = Derating::Kind::Niosh; },
        [](Person& p) { p.policy.criteria.pop_back(); },
        [](Person& p) { p.policy.criteria.front().rule.threshold = LevelA(70.0); },
        [](Person& p) { p.policy.criteria_by_default = true; },
        [](Person& p) { p.policy.weekly_average = true; },
        [](Person& p) { p.policy.speech_must_be_heard = true; },
        [](Person& p) { p.policy.least_useful = LevelA(75.0); },
        [](Person& p) { p.policy.accepted_probability = 0.1; },
    };
    for (std::size_t n = 0; n < changes.size(); ++n) {
        CAPTURE(n);
        std::vector<Person> people = {stated_in(10, 2), stated_in(20, 2), stated_in(30, 2)};
        changes[n](people[1]);
        const auto groups = homogeneous_groups(people);
        REQUIRE(groups.size() == 2);
        CHECK(groups[0] == std::vector<std::size_t>{0, 2});
        CHECK(groups[1] == std::vector<std::size_t>{1});
    }
}

TEST_CASE("people with tasks stand alone, however alike") {
    std::vector<Person> people = {stated_in(10, 2), stated_in(20, 2)};
    for (Person& person : people)
        person.tasks.emplace_back();
    CHECK(homogeneous_groups(people).size() == 2);
}
