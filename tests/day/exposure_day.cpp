#include "earbudget/day/exposure_day.hpp"

#include <algorithm>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "support/holds.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

std::optional<Method> method_of(const Plan& plan) {
    return day_exposure(plan, plan.people.front()).method;
}

Plan plan_with(const SoundLevels& levels, const Protector& protector) {
    Plan plan{.title = "p"};
    plan.catalogue.protectors.push_back({protector, {"protectors.toml", 3, 1}});
    plan.sequences.push_back(
        {.id = "a", .title = "A", .levels = levels, .stated_at = {"a.toml", 5, 1}});
    plan.timeline.push_back({.sequence = 0, .duration = Seconds(60)});
    plan.people.push_back(participant({protector.id}));
    plan.people.front().policy.stated_at = {"plan.toml", 7, 1};
    return plan;
}

std::string error_of(const Plan& plan) {
    try {
        static_cast<void>(day_exposure(plan, plan.people.front()));
    } catch (const Obstacle& error) {
        return text_of(error);
    }
    return "";
}

}  // namespace

TEST_CASE("best takes the first method for which card and catalogue have the data") {
    std::mt19937 random(23);
    Protector plug{.id = "plug", .title = "P", .type = ProtectorType::FoamPlug};
    plug.ratings.NRR = LevelDifference(26);
    SoundLevels A_only{.LAeq = LevelA(100.0)};
    SoundLevels with_C{.LAeq = LevelA(100.0), .LCeq = LevelC(101.0)};
    SoundLevels with_octaves = random_sequence(random, "x").levels;
    CHECK(method_of(plan_with(A_only, plug)) == Method::Nrr);
    plug.ratings.SNR = LevelDifference(30);
    CHECK(method_of(plan_with(A_only, plug)) == Method::Nrr);  // SNR needs LCeq
    CHECK(method_of(plan_with(with_C, plug)) == Method::Snr);
    plug.octave = random_attenuation(random);
    // What the label states comes before what would have to be computed.
    CHECK(method_of(plan_with(with_C, plug)) == Method::Snr);
    CHECK(method_of(plan_with(with_octaves, plug)) == Method::Octave);
    plug.ratings.H = plug.ratings.M = plug.ratings.L = LevelDifference(25);
    CHECK(method_of(plan_with(with_C, plug)) == Method::Hml);
    plug.ratings = {};
    CHECK(method_of(plan_with(with_C, plug)) == Method::Hml);  // computed, nothing else is left
    plug.ratings.PAR = LevelDifference(24);
    CHECK(method_of(plan_with(with_octaves, plug)) == Method::Par);
}

TEST_CASE("best takes a pair's rating on the labels before an SNR computed of one of the two") {
    std::mt19937 random(26);
    Plan plan = random_plan(random);
    for (Sequence& sequence : plan.sequences)
        sequence.levels.octave = {};  // LCeq stays
    for (CatalogueEntry& entry : plan.catalogue.protectors)
        entry.protector.ratings.NRR = LevelDifference(20.0);
    Person& person = plan.people.front();
    person.wears = {"plug", "muff"};
    CHECK(method_of(plan) == Method::Nrr);
    plan.catalogue.protectors.front().protector.ratings.SNR = LevelDifference(60.0);
    CHECK(method_of(plan) == Method::Snr);  // the higher of the two, and stated
    plan.catalogue.protectors.front().protector.ratings.SNR = LevelDifference(0.0);
    CHECK(method_of(plan) == Method::Nrr);  // the higher of the two is the earmuff's, computed
    for (CatalogueEntry& entry : plan.catalogue.protectors)
        entry.protector.ratings = {};
    CHECK(method_of(plan) == Method::Snr);  // computed, nothing else is left
}

TEST_CASE("a person's fit test holds for what was tested, and only there") {
    std::mt19937 random(24);
    Plan plan = random_plan(random);
    Person& person = plan.people.front();
    person.PAR = LevelDifference(12.0);
    CHECK(day_exposure(plan, person).method == Method::Par);
    CHECK(day_exposure(plan, person, {"muff"}, {}).method == Method::Octave);
}

TEST_CASE("warnings stand where the missing datum would be entered") {
    Protector plug{.id = "plug", .title = "P", .type = ProtectorType::FoamPlug};
    plug.ratings.SNR = LevelDifference(30);
    const SoundLevels A_only{.LAeq = LevelA(100.0)};
    Plan plan = plan_with(A_only, plug);
    const auto where = [&plan] {
        return day_exposure(plan, plan.people.front()).warnings.front().where.value().text();
    };
    plan.people.front().policy.rules.method = Method::Snr;
    CHECK(where() == "a.toml:5:1");
    plan.people.front().policy.rules.method = Method::Nrr;
    CHECK(where() == "protectors.toml:3:1");
    plan.people.front().policy.rules.derating.kind = Derating::Kind::Niosh;
    plan.people.front().policy.rules.method = Method::Snr;
    CHECK(error_of(plan).find("plan.toml:7:1: ") == 0);
    plan.people.front().policy.rules = {};
    const ExposureDay day = day_exposure(plan, plan.people.front());
    CHECK(!day.method);
    CHECK(text_of(day.warnings.front().says).find("no method") != std::string::npos);
}

TEST_CASE("best with a derating that is not defined for the best method is refused") {
    std::mt19937 random(25);
    Plan plan = random_plan(random);
    plan.people.front().policy.rules.derating.kind = Derating::Kind::Niosh;
    CHECK(error_of(plan).find("no publication defines derating niosh with method octave") !=
          std::string::npos);
}

TEST_CASE("a background that no method reaches counts unreduced, with a warning") {
    std::mt19937 random(26);
    Plan plan = random_plan(random);
    plan.background = SoundLevels{.LAeq = LevelA(68.0)};
    plan.people.front().policy.rules.method = Method::Octave;
    const ExposureDay day = day_exposure(plan, plan.people.front());
    const ExposureRow& rest = day.rows[2];
    REQUIRE(!rest.sequence);
    CHECK(rest.at_ear->dB() == 68.0);
    REQUIRE(day.warnings.size() >= 1);
    CHECK(day.warnings.back().code() == "background-unreduced");
    // By itself the background has what the HML check needs, with H, M and L from octave data.
    plan.people.front().policy.rules.method = std::nullopt;
    CHECK(day_exposure(plan, plan.people.front()).rows[2].prediction->form == MethodForm::CheckL);
}

TEST_CASE("without a background a rest is time without sound, with a warning") {
    std::mt19937 random(27);
    Plan plan = random_plan(random);
    plan.background = std::nullopt;
    const ExposureDay day = day_exposure(plan, plan.people.front());
    CHECK(!day.rows[2].at_ear);
    CHECK(day.warnings.front().code() == "no-background");
}

TEST_CASE("time with and without the protector carries the same energy as the average") {
    std::mt19937 random(28);
    const Plan plan = random_plan(random);
    const Person& person = plan.people.front();
    const ExposureDay day = day_exposure(plan, person, person.wears, {.fraction_of_time = 0.8});
    CHECK(near(daily_exposure_level(day.at_ear())->dB(),
               daily_exposure_level(day.at_ear_by_wearing())->dB(), 1e-9, Because::Arithmetic));
    CHECK(near(total_time(day.at_ear_by_wearing()).count(), total_time(day.at_ear()).count(), 1e-6,
               Because::Arithmetic));
}

TEST_CASE("a poor fit caps the reduction at 10 dB in every row") {
    std::mt19937 random(29);
    const Plan plan = random_plan(random);
    const Person& person = plan.people.front();
    const ExposureDay day = day_exposure(plan, person, person.wears, {.poor_fit = true});
    for (const ExposureRow& row : day.rows)
        CHECK((*row.outside() - *row.at_ear).dB() <= 10.0);
}

TEST_CASE("bands that the octave-band method leaves out are spoken of where they may matter") {
    std::mt19937 random(30);
    Plan plan = random_plan(random);
    const auto warns = [&plan] {
        const auto warnings = day_exposure(plan, plan.people.front()).warnings;
        return std::any_of(warnings.begin(), warnings.end(),
                           [](const Warning& w) { return w.code() == "bands-left-out"; });
    };
    CHECK(!warns());
    SoundLevels& levels = plan.sequences[0].levels;
    levels.octave.set(OctaveBand::Hz16000, LevelZ(levels.LAeq.dB()));
    CHECK(warns());
    levels.octave.set(OctaveBand::Hz16000, LevelZ(levels.LAeq.dB() - 60.0));
    CHECK(!warns());
}

TEST_CASE("LC summed from 125 Hz up is spoken of") {
    Protector plug{.id = "plug", .title = "P", .type = ProtectorType::FoamPlug};
    plug.ratings.SNR = LevelDifference(20);
    SoundLevels levels{.LAeq = LevelA(0.0)};
    for (std::size_t i = 2; i <= 8; ++i)
        levels.octave.set(octave_bands[i], LevelZ(80.0));
    levels.LAeq = *a_weighted(levels.octave).sum();
    Plan plan = plan_with(levels, plug);
    CHECK(day_exposure(plan, plan.people.front()).warnings.front().code() == "LC-without-63-Hz");
    plan.sequences.front().levels.octave.set(OctaveBand::Hz63, LevelZ(80.0));
    CHECK(day_exposure(plan, plan.people.front()).warnings.empty());
}

TEST_CASE(
    "a pair that is predicted worse than its part by another method is said, with both methods") {
    Plan plan = simple_plan(100.0, 60.0, 0.0);
    plan.sequences.front().levels.LCeq = LevelC(101.0);
    Protector plug{.id = "plug", .title = "invented", .type = ProtectorType::FoamPlug};
    plug.ratings.H = LevelDifference(32.0);
    plug.ratings.M = LevelDifference(30.0);
    plug.ratings.L = LevelDifference(28.0);
    plug.ratings.NRR = LevelDifference(20.0);
    Protector muff{.id = "muff", .title = "invented", .type = ProtectorType::Earmuff};
    muff.ratings.NRR = LevelDifference(18.0);
    plan.catalogue.protectors = {{plug}, {muff}};
    Person& person = plan.people.front();
    person.policy.rules = {};
    const auto said = [&](const std::vector<std::string>& wears) {
        const ExposureDay day = day_exposure(plan, person, wears, {});
        return std::ranges::count_if(day.warnings, [](const Warning& warning) {
            return warning.code() == "pair-worse-than-part" &&
                   holds(text_of(warning.says), "the pair by nrr, that by hml");
        });
    };
    CHECK(said({"plug", "muff"}) == 1);
    CHECK(said({"plug"}) == 0);
    person.policy.rules.method = Method::Nrr;  // one method for all
    CHECK(said({"plug", "muff"}) == 0);
}
