// ISO 9612:2009, Acoustics — Determination of occupational noise exposure — Engineering method.
#include <cmath>
#include <numbers>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/exposure/task_sampling.hpp"
#include "earbudget/uncertainty/first_order.hpp"
#include "support/near.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::vector<LevelA> levels_A(const std::vector<double>& dB) {
    std::vector<LevelA> levels;
    for (const double level : dB)
        levels.emplace_back(level);
    return levels;
}

// Annex D: planning, cutting and welding.
const std::vector<LevelA> cutting = levels_A({80.1, 82.2, 79.6});
const std::vector<LevelA> welding = levels_A({86.5, 92.4, 89.3, 93.2, 87.8, 86.2});

Task task_of(const std::vector<LevelA>& samples, Hours time, DurationRange range) {
    // A class 1 instrument, and the microphone's position.
    SoundLevels levels{.LAeq = level_of_samples(samples)};
    levels.uncertainty_parts =
        UncertaintyParts{.instrument = LevelDifference(0.7), .position = LevelDifference(1.0)};
    levels.uncertainty = levels.uncertainty_parts->combined();
    return {.duration = time, .levels = levels, .LAeq_samples = samples, .duration_range = range};
}

Plan annex_D() {
    Plan plan{.title = "annex D"};
    Person person{.id = "worker", .role = Role::Staff};
    person.policy.criteria = {published("eu-limit")};
    person.tasks = {{.duration = Hours(1.5), .levels = sound_of(70.0, 0.0)},
                    task_of(cutting, Hours(5), {Hours(4), Hours(6)}),
                    task_of(welding, Hours(1.5), {Hours(1), Hours(2)})};
    plan.people = {person};
    return plan;
}

}  // namespace

TEST_CASE("ISO 9612, annex D: three tasks give LEX,8h 84.3 dB (memory)") {
    const std::vector<ExposurePart> day = {{LevelA(70.0), Hours(1.5)},
                                           {level_of_samples(cutting), Hours(5.0)},
                                           {level_of_samples(welding), Hours(1.5)}};
    CHECK(near(daily_exposure_level(day)->dB(), 84.3, 0.05, Because::PrintedRounding));
    const Plan plan = annex_D();
    CHECK(near(daily_exposure_level(DrawnDay(plan).exposed.at_ear())->dB(), 84.3, 0.05,
               Because::PrintedRounding));
}

TEST_CASE("ISO 9612, annexes C and D: U = 2.7 dB, k = 1.65, by sampling, duration and meter") {
    const double u1a_cutting = sampling_uncertainty(cutting).dB();
    const double u1a_welding = sampling_uncertainty(welding).dB();
    CHECK(near(u1a_cutting, 0.8, 0.05, Because::PrintedRounding));
    CHECK(near(u1a_welding, 1.2, 0.05, Because::PrintedRounding));
    // With the shares of the energy rounded to 0.28 and 0.70 U comes to 2.72.
    const double per_time = 10.0 / std::numbers::ln10;
    const double meter = 0.7 * 0.7 + 1.0;
    const double rounded = std::pow(0.28, 2) * (u1a_cutting * u1a_cutting + meter) +
                           std::pow(0.70, 2) * (u1a_welding * u1a_welding + meter) +
                           std::pow(per_time * 0.28 * 1.0 / 5.0, 2) +
                           std::pow(per_time * 0.70 * 0.5 / 1.5, 2);
    CHECK(near(1.65 * std::sqrt(rounded), 2.72, 0.005, Because::PrintedRounding));
    // The program rounds nothing on the way: 2.77.
    const Plan plan = annex_D();
    const DrawnDay drawn(plan);
    const auto result = first_order(published("eu-limit"), drawn.exposed, drawn.day.errors());
    REQUIRE(result);
    CHECK(near(1.65 * result->standard.dB(), 2.7, 0.07, Because::PrintedRounding));
    CHECK(near(1.65 * result->standard.dB(), 2.766, 0.001, Because::PrintedRounding));
    // Sampling and duration are the largest parts.
    REQUIRE(result->parts.size() == 4);
    CHECK(result->parts[0].kind == ErrorKind::Duration);
    CHECK(result->parts[1].kind == ErrorKind::Sampling);
}

TEST_CASE("ISO 9612, annex C: the draws carry sampling and duration") {
    const Plan plan = annex_D();
    const DrawnDay drawn(plan);
    // By first order 84.3 + 2.8 dB; the energy is skew, so that the draws stay a little below.
    const double most = *drawn.day.judge().front().not_exceeded;
    CHECK(near(most - 84.3, 2.7, 0.25, Because::OwnTolerance));
    Plan exact = plan;
    for (Task& task : exact.people.front().tasks) {
        task.duration_range.reset();
        if (!task.LAeq_samples.empty())
            task.LAeq_samples.assign(3, task.levels->LAeq);  // as if all had been alike
    }
    const DrawnDay surer(exact);
    CHECK(*surer.day.judge().front().not_exceeded < most - 0.7);
    const auto result = first_order(published("eu-limit"), surer.exposed, surer.day.errors());
    CHECK(near(result->standard.dB(), std::sqrt((0.7 * 0.7 + 1.0) * 0.58803), 0.001,
               Because::PrintedRounding));
}

TEST_CASE("ISO 9612, annexes E and F: a job and a full day (printed)") {
    struct Row {
        std::vector<double> samples;
        double hours, LEX_8h;
    };
    const Row rows[] = {{{88.1, 86.1, 89.7, 86.5, 91.1, 86.7}, 7.5, 88.16},
                        {{88.0, 91.9, 87.6, 90.4, 89.0, 88.4}, 9.25, 90.1}};
    std::size_t held = 0;
    for (const Row& row : rows) {
        const std::vector<ExposurePart> day = {
            {level_of_samples(levels_A(row.samples)), Hours(row.hours)}};
        CHECK(near(daily_exposure_level(day)->dB(), row.LEX_8h, 0.05, Because::PrintedRounding));
        ++held;
    }
    CHECK(held == 2);
}

TEST_CASE("ISO 9612, 9.3: three samples that lie 3 dB apart ask for more (memory)") {
    CHECK(!asks_for_more_samples(cutting));  // 2.6 dB
    CHECK(asks_for_more_samples(levels_A({80.0, 82.0, 83.0})));
    CHECK(!asks_for_more_samples(welding));  // six
}
