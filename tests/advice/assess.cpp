#include "earbudget/advice/assess.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/acoustics/bands.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

double dose_of(const Assessment& assessment) {
    return assessment.people.front().criteria.front().value.value();
}

double at_ear_LEX(const Assessment& assessment) {
    return assessment.people.front().exposure.at_ear_LEX_8h->dB();
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
    std::set<std::string> judged;
    for (const CriterionResult& result : assessment.people.front().criteria) {
        judged.insert(result.criterion->id);
    }
    CHECK(judged == std::set<std::string>{"niosh-rel", "eu-limit"});
}

TEST_CASE("a position shifts the background too, in the timeline and in tasks of their own") {
    Plan plan = simple_plan(110.0, 60.0, 0.0);
    plan.background = SoundLevels{.LAeq = LevelA(70.0)};
    plan.timeline.push_back({.sequence = std::nullopt, .duration = Hours(1)});
    plan.positions.push_back({"beside", LevelDifference(-6.0)});
    Person nurse{.id = "nurse", .role = Role::Staff};
    nurse.policy = plan.people.front().policy;
    nurse.tasks = {{.position = 0}, {.position = 0, .duration = Seconds(600)}};
    plan.people = {nurse};
    const auto segments = assess(plan).people.front().segments;
    REQUIRE(segments.size() == 3);
    CHECK(near(segments[0].row.at_ear->dB(), 104.0, 1e-9, Because::Arithmetic));
    CHECK(near(segments[1].row.at_ear->dB(), 64.0, 1e-9, Because::Arithmetic));
    CHECK(near(segments[2].row.at_ear->dB(), 64.0, 1e-9, Because::Arithmetic));
    CHECK(segments[2].row.time == Seconds(600));
}

TEST_CASE("shares are of the energy at the ear, not of that outside") {
    // Two sequences of equal level and time: one octave is reduced by 10 dB, the other by 30 dB.
    Plan plan = simple_plan(100.0, 10.0, 0.0);
    Protector& plug = plan.catalogue.protectors.front().protector;
    plug.ratings = {};
    plug.octave = OctaveAttenuation();
    for (std::size_t i = 1; i <= 8; ++i) {
        plug.octave->set(octave_bands[i], LevelDifference(i <= 4 ? 10.0 : 30.0),
                         LevelDifference(0.0));
    }
    plan.sequences.clear();
    plan.timeline.clear();
    for (const OctaveBand loud : {OctaveBand::Hz250, OctaveBand::Hz4000}) {
        SoundLevels levels{.LAeq = LevelA(100.0)};
        for (std::size_t i = 1; i <= 8; ++i)
            levels.octave.set(octave_bands[i], LevelZ(0.0));
        levels.octave.set(loud, LevelZ(100.0 - a_weighting(loud).dB()));
        plan.timeline.push_back({.sequence = plan.sequences.size(), .duration = Seconds(600)});
        plan.sequences.push_back({.id = "s", .title = "S", .levels = levels});
    }
    const auto segments = assess(plan).people.front().segments;
    CHECK(near(segments[0].share_percent, 100.0 / 1.01, 0.01, Because::Arithmetic));
    CHECK(near(segments[1].share_percent, 1.0 / 1.01, 0.01, Because::Arithmetic));
}

TEST_CASE("a day longer than 24 hours is said to be") {
    const auto warns = [](const Plan& plan) {
        const auto warnings = assess(plan).warnings;
        return std::any_of(warnings.begin(), warnings.end(),
                           [](const Warning& w) { return w.code() == "day-too-long"; });
    };
    CHECK(!warns(simple_plan(60.0, 24 * 60.0, 0.0)));
    CHECK(warns(simple_plan(60.0, 24 * 60.0 + 1.0, 0.0)));
}

TEST_CASE("a role without a criterion is not decided, and that is said") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    auto& criteria = plan.people.front().policy.criteria;
    criteria.erase(std::remove_if(criteria.begin(), criteria.end(),
                                  [](const Criterion& c) { return c.id != "eu-limit"; }),
                   criteria.end());
    const Assessment assessment = assess(plan);
    CHECK(assessment.verdict() == Verdict::Unknown);
    CHECK(assessment.warnings.back().code() == "no-criterion");
}

TEST_CASE("levels that no scanner has, or below the room's own, are warned of") {
    const auto warned = [](const Plan& plan, std::string_view code) {
        const auto warnings = assess(plan).warnings;
        return std::ranges::any_of(warnings, [code](const Warning& w) { return w.code() == code; });
    };
    struct Row {
        double LAeq;
        bool outside;
    };
    // 82.5 to 132 dB(A) of published measurements, ends included.
    for (const Row& row : {Row{82.4, true}, {82.5, false}, {132.0, false}, {132.1, true}}) {
        CAPTURE(row.LAeq);
        CHECK(warned(simple_plan(row.LAeq, 1.0, 20.0), "level-range") == row.outside);
    }
    Plan plan = simple_plan(90.0, 1.0, 20.0);
    plan.background = SoundLevels{.LAeq = LevelA(90.0)};
    CHECK(!warned(plan, "below-background"));
    plan.background = SoundLevels{.LAeq = LevelA(90.1)};
    CHECK(warned(plan, "below-background"));
}
