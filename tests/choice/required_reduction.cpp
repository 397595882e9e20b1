#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/judge.hpp"
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
    return !is_over_any(person, day_exposure(plan, person, {"just"}, Wearing{}));
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

TEST_CASE("deductions of the policy are needed on the label, never at the ear") {
    Plan plan = plan_of(100.0, 60.0, {});
    plan.sequences.front().levels.LCeq = LevelC(102.0);
    Person& person = plan.people.front();
    struct Row {
        Derating derating;
        double NRR;
    };
    // 94.0 dB(A) is permitted for an hour: 6 dB at the ear, NRR 8 with C. OSHA technical manual:
    // half of the NRR of any type, 16 · 0.5 = 8.
    const std::vector<Row> rows = {{{Derating::Kind::None}, 8.0},
                                   {{Derating::Kind::Uk4dB}, 12.0},
                                   {{Derating::Kind::Own, LevelDifference(2.5)}, 10.5},
                                   {{Derating::Kind::OshaHalf}, 16.0}};
    for (const Row& row : rows) {
        CAPTURE(name_of(row.derating.kind));
        person.policy.rules.derating = row.derating;
        const RequiredReduction required = required_reduction(plan, person);
        CHECK(near(required.at_ear->dB(), 6.0, 1e-9, Because::Arithmetic));
        REQUIRE(required.NRR);
        CHECK(near(required.NRR->dB(), row.NRR, 1e-9, Because::Arithmetic));
        CHECK(required.by_type.empty());
    }
}

TEST_CASE("where a derating depends on the type the label is told by type") {
    Plan plan = plan_of(100.0, 60.0, {});
    plan.sequences.front().levels.LCeq = LevelC(102.0);
    Person& person = plan.people.front();
    struct Row {
        Derating::Kind derating;
        ProtectorType type;
        double NRR;
    };
    // 8 dB from LC by NIOSH 98-126 (0.50, 0.30, 0.75), CSA Z94.2 (0.50, 0.70) and TRLV Lärm part 3
    // (9, 3, 5 dB), to the next tenth.
    const std::vector<Row> rows = {{Derating::Kind::Niosh, ProtectorType::FoamPlug, 16.0},
                                   {Derating::Kind::Niosh, ProtectorType::PremouldedPlug, 26.7},
                                   {Derating::Kind::Niosh, ProtectorType::Earmuff, 10.7},
                                   {Derating::Kind::Csa, ProtectorType::CanalCap, 16.0},
                                   {Derating::Kind::Csa, ProtectorType::Earmuff, 11.5},
                                   {Derating::Kind::Trlv, ProtectorType::FoamPlug, 17.0},
                                   {Derating::Kind::Trlv, ProtectorType::CustomPlug, 11.0},
                                   {Derating::Kind::Trlv, ProtectorType::Earmuff, 13.0}};
    for (const Row& row : rows) {
        CAPTURE(name_of(row.derating));
        CAPTURE(name_of(row.type));
        person.policy.rules.derating = {row.derating};
        const RequiredReduction required = required_reduction(plan, person);
        CHECK(!required.NRR);
        const auto of_type = std::ranges::find(required.by_type, row.type, &RequiredByType::type);
        REQUIRE(of_type != required.by_type.end());
        REQUIRE(of_type->NRR);
        CHECK(near(of_type->NRR->dB(), row.NRR, 1e-9, Because::Arithmetic));
        CHECK(near(required.at_ear->dB(), 6.0, 1e-9, Because::Arithmetic));
    }
}
