#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/decision/choose.hpp"
#include "earbudget/decision/judge.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double step = 0.1;  // dB: the reduction is told to the next tenth

/// Whether a protector of which only this is known would keep every exposure limit.
bool keeps(Plan plan, Method method, double dB) {
    Protector protector{.id = "just", .title = "J", .type = ProtectorType::PremouldedPlug};
    const LevelDifference x(dB);
    if (method == Method::Par) protector.ratings.PAR = x;
    if (method == Method::Snr) protector.ratings.SNR = x;
    if (method == Method::Nrr) protector.ratings.NRR = x;
    if (method == Method::Octave) protector.octave = flat_attenuation(dB);
    plan.catalogue.protectors.push_back({protector});
    Person& person = plan.people.front();
    person.policy.rules.method = method;
    return !is_over_any(person, hear(plan, person, {"just"}, Wearing{}));
}

void check_least(const Plan& plan, Method method, const std::optional<LevelDifference>& required) {
    CAPTURE(name_of(method));
    REQUIRE(required);
    CAPTURE(required->dB());
    CHECK(
        near(required->dB() / step, std::round(required->dB() / step), 1e-9, Because::Arithmetic));
    CHECK(keeps(plan, method, required->dB()));
    if (required->dB() > 0.0) CHECK(!keeps(plan, method, required->dB() - step));
}

/// A level to the next tenth above; a millionth of a decibel is arithmetic.
double up_to_a_tenth(double dB) { return std::ceil(dB / step - 1e-6) * step; }

/// By NIOSH 98-126, 1.1: 85 dB(A) for 8 h, 3 dB more for half the time.
double permitted_level(double minutes) { return 85.0 + 3.0 * std::log2(8.0 * 60.0 / minutes); }

}  // namespace

TEST_CASE("the reduction told is the least that keeps every limit, a tenth less does not") {
    std::mt19937 random(51);
    for (int round = 0; round < 40; ++round) {
        const Plan plan = random_plan(random);
        const RequiredReduction required = required_reduction(plan, plan.people.front());
        check_least(plan, Method::Par, required.at_ear);
        check_least(plan, Method::Snr, required.SNR);
        check_least(plan, Method::Nrr, required.NRR);
        check_least(plan, Method::Octave, required.every_band);
    }
}

TEST_CASE("one level: what is above NIOSH's permitted level, with C by LC − LA more, with A by 7") {
    std::mt19937 random(52);
    std::uniform_real_distribution<double> minutes(5.0, 480.0);
    for (int round = 0; round < 100; ++round) {
        Plan plan = plan_of(100.0, minutes(random), {});
        Sequence sequence = random_sequence(random, "a");
        sequence.levels = sequence.levels.shifted(LevelDifference(5.0));
        plan.sequences.front() = sequence;
        judge_only_by(plan, "niosh-rel");
        const double LA = sequence.levels.LAeq.dB();
        const double C_minus_A = sequence.levels.LCeq->dB() - LA;
        const double over = LA - permitted_level(plan.timeline.front().time().count() / 60.0);
        REQUIRE(over > 0.0);
        const Person& person = plan.people.front();
        const RequiredReduction with_C = required_reduction(plan, person);
        CHECK(near(with_C.at_ear->dB(), up_to_a_tenth(over), 1e-9, Because::Arithmetic));
        CHECK(near(with_C.every_band->dB(), up_to_a_tenth(over), 1e-9, Because::Arithmetic));
        CHECK(near(with_C.SNR->dB(), up_to_a_tenth(over + C_minus_A), 1e-9, Because::Arithmetic));
        CHECK(near(with_C.NRR->dB(), up_to_a_tenth(over + C_minus_A), 1e-9, Because::Arithmetic));
        plan.sequences.front().levels = {.LAeq = LevelA(LA)};
        const RequiredReduction with_A = required_reduction(plan, person);
        // 29 CFR 1910.95, appendix B: LA − (NRR − 7).
        CHECK(near(with_A.NRR->dB(), up_to_a_tenth(over + 7.0), 1e-9, Because::Arithmetic));
        CHECK(near(with_A.at_ear->dB(), up_to_a_tenth(over), 1e-9, Because::Arithmetic));
        CHECK(!with_A.SNR);  // needs LCeq
        CHECK(!with_A.every_band);
    }
}

TEST_CASE("deductions of the policy are needed on top, factors of a type are not") {
    Plan plan = plan_of(100.0, 60.0, {});
    plan.sequences.front().levels.LCeq = LevelC(102.0);
    Person& person = plan.people.front();
    struct Row {
        Derating derating;
        double at_ear, NRR;
    };
    // 94.0 dB(A) is permitted for an hour: 6 dB at the ear, NRR 8 with C.
    const std::vector<Row> rows = {{{Derating::Kind::None}, 6.0, 8.0},
                                   {{Derating::Kind::Uk4dB}, 10.0, 12.0},
                                   {{Derating::Kind::Own, LevelDifference(2.5)}, 8.5, 10.5},
                                   {{Derating::Kind::Niosh}, 6.0, 8.0},
                                   {{Derating::Kind::Csa}, 6.0, 8.0},
                                   {{Derating::Kind::Trlv}, 6.0, 8.0}};
    for (const Row& row : rows) {
        CAPTURE(name_of(row.derating.kind));
        person.policy.rules.derating = row.derating;
        const RequiredReduction required = required_reduction(plan, person);
        CHECK(near(required.at_ear->dB(), row.at_ear, 1e-9, Because::Arithmetic));
        CHECK(near(required.NRR->dB(), row.NRR, 1e-9, Because::Arithmetic));
    }
    // OSHA technical manual: half of the NRR of any type, 16 · 0.5 = 8; of the NRR alone.
    person.policy.rules.derating = {Derating::Kind::OshaHalf};
    const RequiredReduction halved = required_reduction(plan, person);
    CHECK(near(halved.NRR->dB(), 16.0, 1e-9, Because::Arithmetic));
    CHECK(near(halved.at_ear->dB(), 6.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("none is told where no reduction would do, and 0 where none is needed") {
    Plan plan = plan_of(100.0, 60.0, {});
    judge_only_by(plan, "niosh-rel");
    Person& person = plan.people.front();
    person.policy.criteria.front().with_protection = false;
    CHECK(!required_reduction(plan, person).at_ear);
    CHECK(!required_reduction(plan, person).NRR);
    person.policy.criteria.front().with_protection = true;
    plan.sequences.front().levels.LAeq = LevelA(94.0);
    CHECK(required_reduction(plan, person).at_ear == LevelDifference(0.0));
    plan.sequences.front().levels.LAeq = LevelA(160.0);  // 66 dB are more than anyone can have
    CHECK(!required_reduction(plan, person).at_ear);
}

TEST_CASE("choosing tells what is required only where nothing in the catalogue is enough") {
    Plan plan = plan_of(100.0, 60.0, {plug_of("little", 5.9)});
    const PersonChoice over = choose(plan).front();
    REQUIRE(over.required);
    CHECK(near(over.required->at_ear->dB(), 6.0, 1e-9, Because::Arithmetic));
    plan.catalogue.protectors.push_back({plug_of("enough", over.required->at_ear->dB())});
    const PersonChoice within = choose(plan).front();
    CHECK(within.has_answer());
    CHECK(within.ranking.front().wears == std::vector<std::string>{"enough"});
    CHECK(!within.required);
}
