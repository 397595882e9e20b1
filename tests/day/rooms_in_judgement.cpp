// What rooms and tasks do to peaks, poor fits and what may be worn.
#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/candidates.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Two sequences of ten minutes each.
Plan two_sequences() {
    Plan plan = plan_of(80.0, 10.0, {});
    plan.sequences.push_back(
        {.id = "b",
         .title = "B",
         .levels = {.LAeq = LevelA(80.0), .uncertainty = LevelDifference(0.0)}});
    plan.timeline.push_back({.sequence = 1, .duration = Seconds(600)});
    judge_only_by(plan, "iec-60601-2-33");
    return plan;
}

const CriterionResult& peak_of(const PersonResult& person) {
    return *std::ranges::find(person.criteria, true, &CriterionResult::is_peak);
}

}  // namespace

TEST_CASE("an unweighted peak that one card leaves in doubt is unknown whatever another states") {
    Plan plan = two_sequences();
    plan.sequences[0].levels.LZpeak = PeakLevelZ(138.0);
    plan.sequences[1].levels.LCpeak = PeakLevelC(137.9);  // up to 140.9 dB unweighted
    CHECK(peak_of(assess(plan).people.front()).verdict == Verdict::Unknown);
    plan.sequences[1].levels.LCpeak = PeakLevelC(136.9);
    CHECK(peak_of(assess(plan).people.front()).verdict == Verdict::Within);
}

TEST_CASE("where LCpeak stands for the unweighted peak the probability is of 3 dB more") {
    Plan plan = two_sequences();
    for (Sequence& sequence : plan.sequences) {
        sequence.levels.LCpeak = PeakLevelC(136.9);
        sequence.levels.uncertainty = LevelDifference(1.4);
    }
    // The normal distribution at (136.9 + 3.0 − 140.0)/1.4; 3 dB: C at 31.5 Hz and 8 kHz, IEC
    // 61672-1, table 3.
    CHECK(near(peak_of(assess(plan).people.front()).probability_over.value(), 0.4715, 0.001,
               Because::PrintedRounding));
}

TEST_CASE("the peak most likely over decides, not the highest") {
    Plan plan = two_sequences();
    plan.sequences[0].levels.LZpeak = PeakLevelZ(139.0);
    plan.sequences[0].levels.uncertainty = LevelDifference(0.3);
    plan.sequences[1].levels.LZpeak = PeakLevelZ(138.9);
    plan.sequences[1].levels.uncertainty = LevelDifference(3.0);
    const CriterionResult peak = peak_of(assess(plan).people.front());
    // The normal distribution at −1.1/3 (limit 140.0 dB for 200 Pa).
    CHECK(near(peak.probability_over.value(), 0.357, 0.001, Because::PrintedRounding));
    CHECK(peak.verdict == Verdict::Close);
}

TEST_CASE("a background that lacks what the method needs is heard unreduced beside a sequence") {
    Plan plan = plan_of(100.0, 60.0, {});
    plan.sequences.front().levels.LCeq = LevelC(101.0);
    Protector plug{.id = "plug", .title = "P", .type = ProtectorType::FoamPlug};
    plug.ratings.SNR = LevelDifference(8.0);
    plan.catalogue.protectors.push_back({plug});
    make_staff(plan);
    Transmission& there = plan.positions.front().door_shut;
    there.difference = LevelDifference(-25.0);
    there.background = SoundLevels{.LAeq = LevelA(85.0)};
    Person& person = plan.people.front();
    person.wears = {"plug"};
    const auto at_ear = [&] {
        return assess(plan).people.front().segments.front().row.at_ear->dB();
    };
    // 75 dB(A) by SNR from 76 dB(C) is 68; beside it 85 dB(A) unreduced.
    CHECK(near(at_ear(), 10.0 * std::log10(std::pow(10.0, 6.8) + std::pow(10.0, 8.5)), 1e-9,
               Because::Arithmetic));
    // With LC both go through: 76 and 86 dB(C) less 8.
    there.background->LCeq = LevelC(86.0);
    CHECK(near(at_ear(), 10.0 * std::log10(std::pow(10.0, 7.6) + std::pow(10.0, 8.6)) - 8.0, 1e-9,
               Because::Arithmetic));
}

TEST_CASE("a poor fit counts for what is worn during tasks too") {
    Plan plan = plan_of(105.0, 120.0, {plug_of("plug", 30.0)});
    make_staff(plan);
    Person& person = plan.people.front();
    person.tasks.front().wears = {{"plug"}};
    const PersonResult in_task = assess(plan).people.front();
    CHECK(in_task.verdict != Verdict::Over);
    CHECK(in_task.criteria.front().with_poor_fit == Verdict::Over);
    CHECK(advises(in_task, "fit-check"));
    person.tasks.front().wears = std::nullopt;
    person.wears = {"plug"};
    const PersonResult always = assess(plan).people.front();
    CHECK(always.poor_fit_LEX_8h == in_task.poor_fit_LEX_8h);
}

TEST_CASE("metal is not advised near the magnet, whoever stands there") {
    Plan plan = plan_of(100.0, 120.0, {plug_of("plug", 20.0)});
    plan.catalogue.protectors.front().protector.metal_free = false;
    make_staff(plan);
    const Protector& plug = plan.catalogue.protectors.front().protector;
    Person& person = plan.people.front();
    CHECK(may_wear(plan, person, plug));
    plan.positions.front().near_magnet = true;
    CHECK(!may_wear(plan, person, plug));
    CHECK(!advises(assess(plan).people.front(), "add-protection"));
    person.tasks.front().wears = {{"plug"}};
    const auto warnings = assess(plan).warnings;
    CHECK(std::ranges::any_of(
        warnings, [](const Warning& warning) { return warning.code() == "metal-near-magnet"; }));
}

TEST_CASE("who hears no sequence is advised protection too") {
    Plan plan = plan_of(60.0, 10.0, {plug_of("plug", 20.0)});
    Person& person = plan.people.front();
    person.role = Role::Staff;
    SoundLevels grinding{.LAeq = LevelA(97.0)};
    person.tasks = {{.duration = Hours(4), .levels = grinding}};
    CHECK(advises(assess(plan).people.front(), "add-protection"));
}

TEST_CASE("what is above a ceiling is advised to be left out") {
    Plan plan = two_sequences();
    make_staff(plan);
    plan.sequences[0].levels.LAeq = LevelA(116.0);
    plan.sequences[1].levels.LAeq = LevelA(95.0);
    plan.people.front().policy.criteria = {*find_published_criterion("osha-pel")};
    const PersonResult person = assess(plan).people.front();
    REQUIRE(advises(person, "shorten"));
    CHECK(advice_of(person, "shorten").seconds->count() == 0.0);
    CHECK(says(advice_of(person, "shorten"), "Leave out"));
}
