// For whose wearing time a person's worn_uncertainty counts, and for whose a task's own.
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/uncertainty/day_errors.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Staff beside the scanner, who wears a plug there and a muff in a noisy workshop.
Plan two_protectors() {
    Plan plan = plan_of(110.0, 30.0,
                        {plug_of("plug", 20.0), plug_of("muff", 25.0, ProtectorType::Earmuff)});
    make_staff(plan);
    Person& person = plan.people.front();
    person.wears = {"plug"};
    person.tasks.push_back({.duration = Hours(1),
                            .levels = SoundLevels{.LAeq = LevelA(95.0)},
                            .wears = std::vector<std::string>{"muff"}});
    return plan;
}

/// Sizes of the wearing-time errors: beside the scanner and in the workshop; 0 for none.
std::pair<double, double> sizes(const Plan& plan) {
    const Person& person = plan.people.front();
    const ExposureDay day = day_exposure(plan, person);
    const DayErrors errors = errors_of_day(plan, person, day);
    const auto size = [&](bool workshop) {
        for (std::size_t row = 0; row < day.rows.size(); ++row) {
            const auto place = errors.segment_of(row, 0);
            const bool own = day.rows[row].task && person.tasks[*day.rows[row].task].wears;
            if (!place || own != workshop) continue;
            const auto& error = errors.segments[*place].protection->wearing_time;
            return error ? error->size : 0.0;
        }
        return -1.0;
    };
    return {size(false), size(true)};
}

}  // namespace

TEST_CASE(
    "a person's worn_uncertainty is of their worn, not of a task with protectors of its own") {
    Plan plan = two_protectors();
    CHECK(sizes(plan) == std::pair(0.0, 0.0));
    plan.people.front().worn_uncertainty = 0.1;
    CHECK(sizes(plan) == std::pair(0.1, 0.0));
    plan.people.front().tasks.back().worn_uncertainty = 0.05;
    CHECK(sizes(plan) == std::pair(0.1, 0.05));
    plan.people.front().worn_uncertainty = 0.0;
    CHECK(sizes(plan) == std::pair(0.0, 0.05));
}
