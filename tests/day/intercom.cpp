#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/day/exposure_day.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Speech with octave levels, so that every method can take it.
SoundLevels speech_of(std::mt19937& random) {
    SoundLevels speech{.LAeq = LevelA(0.0)};
    speech.octave = random_octaves(random).shifted(LevelDifference(-15.0));
    speech.LAeq = *a_weighted(speech.octave).sum();
    return speech;
}

std::optional<IntercomAtEar> exposed(const Plan& plan) {
    const Person& person = plan.people.front();
    return intercom_at_ear(plan, person, person.wears, person.wearing, day_exposure(plan, person));
}

double above_residual(const Plan& plan) { return exposed(plan)->above_residual()->dB(); }

}  // namespace

TEST_CASE("speech of the room's own spectrum stands as far above it under every protector") {
    std::mt19937 random(81);
    for (int round = 0; round < 50; ++round) {
        Plan plan = random_plan(random);
        plan.intercom = plan.background->shifted(LevelDifference(17.0));
        for (const auto& wears :
             std::vector<std::vector<std::string>>{{}, {"plug"}, {"muff"}, {"plug", "muff"}}) {
            CAPTURE(wears);
            plan.people.front().wears = wears;
            CHECK(near(above_residual(plan), 17.0, 1e-9, Because::Arithmetic));
        }
    }
}

TEST_CASE("equal attenuation in all bands leaves the difference that the plan states") {
    std::mt19937 random(82);
    for (int round = 0; round < 50; ++round) {
        Plan plan = random_plan(random);
        plan.intercom = speech_of(random);
        plan.catalogue.protectors.front().protector.octave = flat_attenuation(22.0);
        const double stated = (plan.intercom->LAeq - plan.background->LAeq).dB();
        CHECK(near(above_residual(plan), stated, 1e-9, Because::Arithmetic));
        CHECK(near(exposed(plan)->speech.dB(), plan.intercom->LAeq.dB() - 22.0, 1e-9,
                   Because::Arithmetic));
        CHECK(near(exposed(plan)->residual->dB(), plan.background->LAeq.dB() - 22.0, 1e-9,
                   Because::Arithmetic));
    }
}

TEST_CASE("speech in the band that the protector takes most of falls behind the room's noise") {
    // The room hums at 125 Hz, speech is at 2 kHz, where the plug takes 20 dB more.
    std::mt19937 random(83);
    Plan plan = random_plan(random);
    OctaveAttenuation attenuation = flat_attenuation(15.0);
    attenuation.set(OctaveBand::Hz2000, LevelDifference(35.0), LevelDifference(0.0));
    plan.catalogue.protectors.front().protector.octave = attenuation;
    const auto tone = [](OctaveBand loud) {
        SoundLevels levels{.LAeq = LevelA(70.0)};
        for (std::size_t i = index_of(OctaveBand::Hz63); i <= index_of(OctaveBand::Hz8000); ++i)
            levels.octave.set(octave_bands[i], LevelZ(-20.0));
        levels.octave.set(loud, LevelZ(70.0 - a_weighting(loud).dB()));
        return levels;
    };
    plan.background = tone(OctaveBand::Hz125);
    plan.intercom = tone(OctaveBand::Hz2000);
    CHECK(near(above_residual(plan), -20.0, 1e-3, Because::Arithmetic));
}

TEST_CASE("where speech or the room lacks the method's data both are reduced alike") {
    std::mt19937 random(84);
    Plan plan = random_plan(random);
    plan.intercom = SoundLevels{.LAeq = LevelA(75.0)};
    plan.background = SoundLevels{.LAeq = LevelA(60.0)};
    CHECK(near(above_residual(plan), 15.0, 1e-9, Because::Arithmetic));
    std::vector<ExposurePart> outside;
    std::vector<ExposurePart> worn;
    for (const ExposureRow& row : day_exposure(plan, plan.people.front()).rows) {
        if (!row.sequence) continue;
        outside.push_back({row.outside(), row.time});
        worn.push_back({row.while_worn, row.time});
    }
    const double reduction = (*time_average(outside) - *time_average(worn)).dB();
    CHECK(near(exposed(plan)->speech.dB(), 75.0 - reduction, 1e-9, Because::Arithmetic));
    // Also where only one of the two lacks them: two ways would not be comparable.
    plan.intercom = speech_of(random);
    const double stated = plan.intercom->LAeq.dB();
    CHECK(near(above_residual(plan), stated - 60.0, 1e-9, Because::Arithmetic));
    CHECK(near(exposed(plan)->speech.dB(), stated - reduction, 1e-9, Because::Arithmetic));
}

TEST_CASE("speech is heard with the protector on, however much of the time it is worn") {
    std::mt19937 random(87);
    Plan plan = random_plan(random);
    plan.intercom = speech_of(random);
    const LevelA worn_always = exposed(plan)->speech;
    plan.people.front().wearing.fraction_of_time = 0.5;
    CHECK(exposed(plan)->speech == worn_always);
}

TEST_CASE("the reduction of speech is that of a fit test and of a poor fit where they are") {
    std::mt19937 random(85);
    Plan plan = random_plan(random);
    plan.intercom = speech_of(random);
    const double stated = plan.intercom->LAeq.dB();
    plan.people.front().PAR = LevelDifference(24.0);
    CHECK(near(exposed(plan)->speech.dB(), stated - 24.0, 1e-9, Because::Arithmetic));
    plan.people.front().wearing.poor_fit = true;
    CHECK(near(exposed(plan)->speech.dB(), stated - 10.0, 1e-9, Because::Arithmetic));
    plan.people.front().wears = {};
    plan.people.front().PAR.reset();
    CHECK(near(exposed(plan)->speech.dB(), stated, 1e-9, Because::Arithmetic));
}

TEST_CASE("no intercom without one in the plan, none for staff, no residual without background") {
    std::mt19937 random(86);
    Plan plan = random_plan(random);
    CHECK(!exposed(plan));
    plan.intercom = speech_of(random);
    CHECK(exposed(plan));
    plan.background.reset();
    CHECK(exposed(plan));
    CHECK(!exposed(plan)->residual);
    CHECK(!exposed(plan)->above_residual());
    make_staff(plan);
    CHECK(!exposed(plan));
    CHECK(!assess(plan).people.front().intercom);
}

TEST_CASE("by NRR speech and noise go through the same form, from C only where both have it") {
    Plan plan = plan_of(100.0, 60.0, {plug_of("plug", 0.0)});
    plan.catalogue.protectors.front().protector.ratings = {.NRR = LevelDifference(26.0)};
    plan.sequences.front().levels.LCeq = LevelC(101.0);
    plan.people.front().wears = {"plug"};
    plan.people.front().policy.rules.method = Method::Nrr;
    plan.background = SoundLevels{.LAeq = LevelA(60.0), .LCeq = LevelC(60.5)};
    plan.intercom = SoundLevels{.LAeq = LevelA(66.0)};
    // 29 CFR 1910.95, appendix B: from A both lose 26 - 7 dB, and 6 dB are left between them.
    CHECK(near(above_residual(plan), 6.0, 1e-9, Because::Arithmetic));
    CHECK(near(exposed(plan)->speech.dB(), 66.0 - 19.0, 1e-9, Because::Arithmetic));
    // With C of both each goes by LC - NRR.
    plan.intercom->LCeq = LevelC(67.5);
    CHECK(near(above_residual(plan), 67.5 - 60.5, 1e-9, Because::Arithmetic));
}
