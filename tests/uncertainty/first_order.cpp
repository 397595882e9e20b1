#include "earbudget/uncertainty/first_order.hpp"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "support/near.hpp"
#include "support/simple_plan.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

FirstOrder of(const Plan& plan, const DrawnDay& drawn) {
    return first_order(plan.people.front().policy.criteria.front(), drawn.exposed,
                       drawn.day.errors())
        .value();
}

}  // namespace

TEST_CASE("one level, one spread is exact by first order too") {
    const Plan plan = open_ears({sound_of(86.0, 1.5)}, {8.0}, "eu-limit");
    const FirstOrder result = of(plan, DrawnDay(plan));
    CHECK(near(result.above_limit.dB(), -1.0, 1e-9, Because::Arithmetic));
    CHECK(near(result.standard.dB(), 1.5, 1e-9, Because::Arithmetic));
    CHECK(near(result.probability_over, normal_probability(-1.0 / 1.5), 1e-9, Because::Arithmetic));
    REQUIRE(result.parts.size() == 1);
    CHECK(result.parts.front().kind == ErrorKind::Instrument);
    CHECK(near(result.parts.front().share_of_variance, 1.0, 1e-12, Because::Arithmetic));
}

TEST_CASE("parts: ISO 9612, annex C: sensitivities are shares of the energy") {
    // 88 dB for 2 h and 85 dB for 6 h, errors from run to run 1 and 2 dB, instrument 0.7 dB.
    Plan plan = open_ears({unshared(88.0, 1.0), unshared(85.0, 2.0)}, {2.0, 6.0}, "eu-limit");
    for (Sequence& sequence : plan.sequences)
        sequence.levels.uncertainty_parts->instrument = LevelDifference(0.7);
    const FirstOrder result = of(plan, DrawnDay(plan));
    const double a = 2.0 * std::pow(10.0, 8.8);
    const double b = 6.0 * std::pow(10.0, 8.5);
    const double run = std::hypot(a * 1.0, b * 2.0) / (a + b);
    CHECK(near(result.standard.dB(), std::hypot(run, 0.7), 1e-9, Because::Arithmetic));
    REQUIRE(result.parts.size() == 2);
    CHECK(result.parts.front().kind == ErrorKind::Run);
    CHECK(near(result.parts.front().standard.dB(), run, 1e-9, Because::Arithmetic));
    CHECK(near(result.parts.back().standard.dB(), 0.7, 1e-9, Because::Arithmetic));
}

TEST_CASE("first order agrees with the draws where errors are small") {
    std::mt19937 random(77);
    int held = 0;
    for (int round = 0; round < 40; ++round) {
        Plan plan = random_plan(random);
        Person& person = plan.people.front();
        person.policy.criteria = {published("eu-limit")};
        person.policy.criteria.front().roles = {Role::Participant};
        for (CatalogueEntry& entry : plan.catalogue.protectors) {
            auto& octave = *entry.protector.octave;
            for (const OctaveBand band : octave_bands)
                if (octave.has(band)) octave.set(band, octave.mean(band), LevelDifference(1.0));
        }
        // A limit that is about as likely kept as not.
        const double bound = *DrawnDay(plan).day.judge().front().not_exceeded;
        person.policy.criteria.front().rule.level = LevelA(bound - 0.2 * (round % 10));
        const DrawnDay drawn(plan);
        const double p = drawn.day.judge().front().probability_over;
        const double q = of(plan, drawn).probability_over;
        CAPTURE(p);
        CAPTURE(q);
        CHECK_FALSE(disagree(p, q));
        if (p > 0.01 && p < 0.99) ++held;
    }
    CHECK(held >= 30);  // enough that say something
}

TEST_CASE("first order and the draws disagree where wearing time makes the exposure skew") {
    Plan plan = open_ears({sound_in_bands(0.5)}, {8.0}, "eu-limit");
    wear_plug(plan, flat(30.0, 3.0));
    plan.people.front().worn_uncertainty = 0.1;  // never worn more than all the time
    const DrawnDay drawn(plan);
    const double p = drawn.day.judge().front().probability_over;
    const FirstOrder result = of(plan, drawn);
    CHECK(disagree(p, result.probability_over));
    CHECK(result.parts.front().kind == ErrorKind::WearingTime);
}

TEST_CASE("an error of a sequence counts by its share of what is heard with the room's own noise") {
    Plan plan = open_ears({sound_of(86.0, 2.0)}, {8.0}, "eu-limit");
    Transmission there{.difference = LevelDifference(0.0)};
    there.background = sound_of(86.0, 0.0);  // as much energy again, known exactly
    plan.positions.push_back({"there", there});
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.policy.criteria.front().roles = {Role::Staff};
    person.tasks = {{.position = 0}};
    const FirstOrder result = of(plan, DrawnDay(plan));
    CHECK(near(result.above_limit.dB(), 86.0 + 10.0 * std::log10(2.0) - 87.0, 1e-9,
               Because::Arithmetic));
    CHECK(near(result.standard.dB(), 0.5 * 2.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("an error of the protector counts by the share of what is left beside unreduced noise") {
    Plan plan = open_ears({sound_in_bands(0.0)}, {8.0}, "eu-limit");
    wear_plug(plan, flat(20.0, 3.0));
    const auto part_of_people = [&plan] {
        for (const ErrorShare& part : of(plan, DrawnDay(plan)).parts)
            if (part.kind == ErrorKind::People) return part.standard.dB();
        return 0.0;
    };
    CHECK(near(part_of_people(), 3.0, 1e-9, Because::Arithmetic));
    // Without bands the room's noise counts unreduced: as much as is left of the sequence for
    // the mean person.
    Transmission there{.difference = LevelDifference(0.0)};
    there.background = SoundLevels{.LAeq = sound_in_bands(0.0).LAeq - LevelDifference(20.0),
                                   .uncertainty = LevelDifference(0.0)};
    plan.positions.push_back({"there", there});
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.policy.criteria.front().roles = {Role::Staff};
    person.tasks = {{.position = 0}};
    CHECK(near(part_of_people(), 0.5 * 3.0, 1e-9, Because::Arithmetic));
}
