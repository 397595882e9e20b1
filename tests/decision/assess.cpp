#include "earbudget/decision/assess.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double dose_of(const Assessment& assessment) {
    return assessment.people.front().criteria.front().value.value();
}

double at_ear_LEX(const Assessment& assessment) {
    return assessment.people.front().exposure.at_ear_LEX_8h->dB();
}

bool advises(const PersonResult& person, std::string_view code) {
    return std::any_of(person.advice.begin(), person.advice.end(),
                       [code](const Advice& advice) { return advice.code == code; });
}

// One sequence at a flat 1000 Hz level, so that every level follows from the reductions.
Plan simple_plan(double LAeq, double minutes, double attenuation) {
    Plan plan{.title = "simple"};
    Protector plug{.id = "plug", .title = "Plug", .type = ProtectorType::PremouldedPlug};
    plug.fits_head_coil = true;
    plug.metal_free = true;
    plug.ratings.PAR = LevelDifference(attenuation);
    plan.catalogue.protectors.push_back({plug});
    plan.sequences.push_back({.id = "a", .title = "A", .levels = {.LAeq = LevelA(LAeq)}});
    plan.timeline.push_back({.sequence = 0, .duration = Seconds(60.0 * minutes)});
    plan.people.push_back(participant({"plug"}));
    return plan;
}

}  // namespace

TEST_CASE("splitting a row in two, reordering and folding repeats change nothing") {
    std::mt19937 random(19);
    for (int round = 0; round < 100; ++round) {
        const Plan plan = random_plan(random);
        const Assessment before = assess(plan);
        Plan split = plan;
        TimelineRow half = split.timeline.front();
        half.duration *= 0.5;
        split.timeline.front() = half;
        split.timeline.insert(split.timeline.begin(), half);
        CHECK(near(dose_of(assess(split)), dose_of(before), 1e-9 * (1.0 + dose_of(before)),
                   Because::Arithmetic));
        CHECK(near(at_ear_LEX(assess(split)), at_ear_LEX(before), 1e-9, Because::Arithmetic));
        Plan folded = plan;
        for (TimelineRow& row : folded.timeline) {
            row.duration = row.time();
            row.repeat = 1;
        }
        std::shuffle(folded.timeline.begin(), folded.timeline.end(), random);
        CHECK(near(dose_of(assess(folded)), dose_of(before), 1e-9 * (1.0 + dose_of(before)),
                   Because::Arithmetic));
        CHECK(near(at_ear_LEX(assess(folded)), at_ear_LEX(before), 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("adding a protector never raises the level at the ear") {
    std::mt19937 random(20);
    for (int round = 0; round < 200; ++round) {
        Plan plan = random_plan(random);
        double last = 1000.0;
        for (const std::vector<std::string>& wears :
             {std::vector<std::string>{}, {"plug"}, {"plug", "muff"}}) {
            plan.people.front().wears = wears;
            const double LEX = at_ear_LEX(assess(plan));
            CHECK(LEX <= last + 1e-9);
            last = LEX;
        }
    }
}

TEST_CASE("twice the sessions add 3.01 dB to LEX and double the dose") {
    std::mt19937 random(21);
    Plan plan = random_plan(random);
    plan.people.front().sessions_per_day = 1;
    const double dose = dose_of(assess(plan));
    const double LEX = at_ear_LEX(assess(plan));
    plan.people.front().sessions_per_day = 2;
    CHECK(near(dose_of(assess(plan)), 2.0 * dose, 1e-9 * dose, Because::Arithmetic));
    CHECK(near(at_ear_LEX(assess(plan)), LEX + 3.0103, 0.0001, Because::Arithmetic));
}

TEST_CASE("shares sum to 100 percent and follow the sound energy at the ear") {
    std::mt19937 random(22);
    for (int round = 0; round < 50; ++round) {
        const Plan plan = random_plan(random);
        double sum = 0.0;
        const Assessment assessment = assess(plan);
        for (const SegmentResult& segment : assessment.people.front().segments) {
            sum += segment.share_percent;
        }
        CHECK(near(sum, 100.0, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("worked session: dose 382, 30 and 3 percent at 10, 21 and 31 dB (derived)") {
    // Echo planar 110 dB(A) 40 min, diffusion 113 8 min, 3-D gradient echo 105 6 min, spin echo 95
    // 4 min, localiser 98 20 s; levels from published ranges.
    struct Row {
        double level;
        double seconds;
    };
    const std::vector<Row> session = {{110, 2400}, {113, 480}, {105, 360}, {95, 240}, {98, 20}};
    struct Expected {
        double reduction;
        double dose;
    };
    for (const Expected& row : {Expected{10, 382}, Expected{21, 30}, Expected{31, 3}}) {
        Plan plan = simple_plan(100.0, 1.0, row.reduction);
        plan.timeline.clear();
        plan.sequences.clear();
        for (const Row& sequence : session) {
            plan.timeline.push_back(
                {.sequence = plan.sequences.size(), .duration = Seconds(sequence.seconds)});
            plan.sequences.push_back(
                {.id = "s", .title = "S", .levels = {.LAeq = LevelA(sequence.level)}});
        }
        // No threshold, as the figures were derived by energy.
        Criterion& criterion = plan.people.front().policy.criteria.front();
        criterion.rule.threshold = std::nullopt;
        CAPTURE(row.reduction);
        // Equal energy against 2^(ΔL/3) differs by 2 % here; printed to a whole percent.
        CHECK(near(dose_of(assess(plan)), row.dose, 0.03 * row.dose, Because::PrintedRounding));
    }
}

TEST_CASE("verdicts and advice follow the dose") {
    // 110 − 20 = 90 dB(A): NIOSH permits 2 h 31 min.
    const Plan within = simple_plan(110.0, 60.0, 20.0);
    const Assessment good = assess(within);
    CHECK(good.verdict() == Verdict::Within);
    CHECK(advises(good.people.front(), "fit-check"));  // with 10 dB it would be over
    CHECK(!advises(good.people.front(), "shorten"));

    const Plan over = simple_plan(110.0, 200.0, 20.0);
    const Assessment bad = assess(over);
    CHECK(bad.verdict() == Verdict::Over);
    const auto& advice = bad.people.front().advice;
    const auto shorten = std::find_if(advice.begin(), advice.end(),
                                      [](const Advice& a) { return a.code == "shorten"; });
    REQUIRE(shorten != advice.end());
    CHECK(near(shorten->seconds->count(), 8 * 3600 / std::exp2(5.0 / 3.0), 0.002,
               Because::Arithmetic));
    CHECK(!shorten->confident_seconds);  // the card states no uncertainty
}

TEST_CASE("with a stated uncertainty, close is close and confident times are shorter") {
    Plan plan = simple_plan(110.0, 140.0, 20.0);  // 93 % of the dose
    plan.sequences.front().levels.uncertainty = LevelDifference(1.5);
    const Assessment assessment = assess(plan);
    CHECK(assessment.verdict() == Verdict::Close);
    const auto& advice = assessment.people.front().advice;
    const auto shorten = std::find_if(advice.begin(), advice.end(),
                                      [](const Advice& a) { return a.code == "shorten"; });
    REQUIRE(shorten != advice.end());
    // T = 8 h / 2^((90 + 1.6449·1.5 − 85)/3).
    CHECK(near(shorten->confident_seconds->count(),
               8 * 3600 / std::exp2((5.0 + 1.644854 * 1.5) / 3.0), 0.01, Because::Arithmetic));
}

TEST_CASE("too much protection is said only where speech must be heard") {
    Plan plan = simple_plan(95.0, 10.0, 30.0);  // 65 dB(A) at the ear
    CHECK(!advises(assess(plan).people.front(), "too-much-protection"));
    plan.people.front().policy.speech_must_be_heard = true;
    CHECK(advises(assess(plan).people.front(), "too-much-protection"));
    plan.catalogue.protectors.front().protector.ratings.PAR = LevelDifference(25.0);
    CHECK(!advises(assess(plan).people.front(), "too-much-protection"));
}

TEST_CASE("a better protector is named, one that the person cannot wear is not") {
    Plan plan = simple_plan(110.0, 200.0, 20.0);
    Protector better = plan.catalogue.protectors.front().protector;
    better.id = "better";
    better.ratings.PAR = LevelDifference(28.0);
    plan.catalogue.protectors.push_back({better});
    const Assessment assessment = assess(plan);
    const auto& advice = assessment.people.front().advice.front();
    CHECK(advice.code == "change-protection");
    CHECK(advice.wears == std::vector<std::string>{"better"});
    Plan applied = plan;
    applied.people.front().wears = advice.wears;
    CHECK(assess(applied).verdict() == Verdict::Within);
    plan.people.front().cannot_wear = {"better"};
    CHECK(advises(assess(plan).people.front(), "required-protection"));
    plan.people.front().cannot_wear = {};
    plan.catalogue.protectors.back().protector.metal_free = std::nullopt;  // not stated to be
    CHECK(advises(assess(plan).people.front(), "required-protection"));
}

TEST_CASE("a participant who wears nothing is told to, and one who wears it partly is told that") {
    Plan plan = simple_plan(110.0, 60.0, 25.0);
    plan.people.front().wears = {};
    CHECK(advises(assess(plan).people.front(), "add-protection"));
    plan.people.front().wears = {"plug"};
    plan.people.front().wearing.fraction_of_time = 0.9;
    CHECK(advises(assess(plan).people.front(), "wear-throughout"));
}

TEST_CASE("unprotected quiet is within, and a day without sound has no level but a verdict") {
    Plan plan = simple_plan(60.0, 60.0, 0.0);
    plan.people.front().wears = {};
    CHECK(assess(plan).verdict() == Verdict::Within);
    plan.timeline = {{.sequence = std::nullopt, .duration = Hours(1)}};
    const Assessment silent = assess(plan);
    CHECK(!silent.people.front().exposure.LAeq);
    CHECK(silent.people.front().verdict == Verdict::Within);
    CHECK(!silent.people.front().criteria.front().margin);
    CHECK(!silent.warnings.empty());
}

TEST_CASE("staff hear the timeline at their position, once a session") {
    Plan plan = simple_plan(110.0, 60.0, 0.0);
    plan.positions.push_back({"control-room", LevelDifference(-45.0)});
    Person operator_{.id = "operator", .role = Role::Staff, .sessions_per_day = 4};
    operator_.policy = plan.people.front().policy;
    operator_.tasks = {{.position = 0}};
    plan.people = {operator_};
    const Assessment assessment = assess(plan);
    const DayExposure& day = assessment.people.front().exposure;
    CHECK(near(day.LAeq->dB(), 65.0, 1e-9, Because::Arithmetic));
    CHECK(near(day.LEX_8h->dB(), 65.0 - 3.0103, 0.0001, Because::Arithmetic));
    CHECK(assessment.people.front().criteria.size() == 2);  // niosh-rel and eu-limit
}

TEST_CASE("a role without a criterion is not decided, and that is said") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    auto& criteria = plan.people.front().policy.criteria;
    criteria.erase(std::remove_if(criteria.begin(), criteria.end(),
                                  [](const Criterion& c) { return c.id != "eu-limit"; }),
                   criteria.end());
    const Assessment assessment = assess(plan);
    CHECK(assessment.verdict() == Verdict::Unknown);
    CHECK(assessment.warnings.back().code == "no-criterion");
}
