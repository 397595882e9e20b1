// A reduction below 0: what it does to the best estimate, to the draws and to advice. Only what is
// met in the end is held at 0; whatever is added before goes onto the reduction as it comes out.
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A plug of PAR 4 dB in 100 dB(A) for eight hours by NIOSH's limit, less the facility's own
/// deduction of 7 dB: 3 dB below nothing.
Plan worse_than_nothing() {
    Plan plan = plan_of(100.0, 480.0, {plug_of("plug", 4.0)});
    judge_only_by(plan, "niosh-rel");
    Person& person = plan.people.front();
    person.wears = {"plug"};
    person.policy.rules.derating = {.kind = Derating::Kind::Own, .own = LevelDifference(7.0)};
    return plan;
}

}  // namespace

TEST_CASE("a reduction below 0 is shown as 0 and counts as 0 for the best estimate") {
    const Assessment assessment = assess(worse_than_nothing());
    const SegmentResult& segment = assessment.people.front().segments.front();
    CHECK(segment.reduction.dB() == 0.0);
    CHECK(near(segment.row.prediction->before_holding().dB(), -3.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("required reduction is added to what comes out, below 0 too, for the confident one too") {
    // 85 dB(A) for eight hours need 15 dB, which are 18 more than −3.
    Plan plan = worse_than_nothing();
    const PersonResult result = assess(plan).people.front();
    REQUIRE(advises(result, "required-protection"));
    const Advice& advice = advice_of(result, "required-protection");
    CHECK(near(advice.reduction->dB(), 18.0, 1e-9, Because::Arithmetic));
    CHECK(says(advice, "below 0"));
    // No error is stated, so that the draws say the same.
    CHECK(near(advice.confident_reduction->dB(), 18.0, 1e-9, Because::Arithmetic));
    plan.catalogue.protectors.front().protector.ratings.PAR = LevelDifference(4.0 + 18.0);
    CHECK(assess(plan).verdict() == Verdict::Within);
    plan.catalogue.protectors.front().protector.ratings.PAR = LevelDifference(4.0 + 17.9);
    CHECK(assess(plan).verdict() == Verdict::Over);
}

TEST_CASE("in the draws people are added to the reduction as it comes out, and held at 0 then") {
    // 15 dB from every band less 20: −5 dB at z0 = −1. With 4 dB between people half of them have
    // −1 dB and more, 0 from z = 0.25 on.
    Plan plan = open_ears({sound_in_bands(0.0)}, {8.0}, "eu-limit");
    wear_plug(plan, flat(19.0, 4.0));
    Person& person = plan.people.front();
    person.policy.rules.derating = {.kind = Derating::Kind::Own, .own = LevelDifference(20.0)};
    const double LAeq = plan.sequences.front().levels.LAeq.dB();
    // A limit that is kept from 1 dB of reduction on: z = 0.5, by 30.9 % of people. On top of a
    // reduction that is held at 0 first, it would be kept from z = −0.75 on.
    person.policy.criteria.front().rule.level = LevelA(LAeq - 1.0);
    const DrawnDay drawn(plan);
    CHECK(near(drawn.day.judge().front().probability_over, 1.0 - 0.3085, 0.002,
               Because::SeededRandomness));
}
