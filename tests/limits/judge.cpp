#include "earbudget/limits/judge.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/published.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

CriterionResult judged(const Criterion& criterion, const Plan& plan) {
    const ExposureDay day = day_exposure(plan, plan.people.front());
    return judge_exposure(criterion, day);
}

// With how sure it is.
CriterionResult judged_surely(const Criterion& criterion, Plan plan) {
    plan.people.front().policy.criteria = {criterion};
    plan.people.front().policy.criteria.front().roles = {plan.people.front().role};
    const ExposureDay day = day_exposure(plan, plan.people.front());
    CriterionResult result = judge_exposure(criterion, day);
    add_uncertainty(MonteCarloDay(plan, plan.people.front(), day).judge().front(), std::nullopt,
                    plan.people.front().policy, result);
    return result;
}

// A parent beside the bore, 6 dB below the participant's ear, for the whole timeline.
Plan with_parent(double LAeq, double minutes) {
    Plan plan = simple_plan(LAeq, minutes, 20.0);
    plan.positions.push_back({"beside", LevelDifference(-6.0)});
    Person parent{.id = "parent", .role = Role::Accompanying, .wears = {"plug"}};
    parent.tasks = {{.position = 0}};
    parent.policy.criteria = default_criteria(Role::Accompanying);
    plan.people = {parent};
    return plan;
}

bool warns(const Assessment& assessment, const std::string& code) {
    return std::any_of(assessment.warnings.begin(), assessment.warnings.end(),
                       [&](const Warning& warning) { return warning.code() == code; });
}

}  // namespace

TEST_CASE("action values never count protectors, limits do") {
    std::mt19937 random(41);
    for (int round = 0; round < 100; ++round) {
        Plan plan = random_plan(random);
        std::vector<double> values[2];
        for (const bool wears : {false, true}) {
            plan.people.front().wears =
                wears ? std::vector<std::string>{"plug"} : std::vector<std::string>{};
            for (const char* id : {"eu-lower-action", "eu-upper-action", "osha-action"}) {
                const CriterionResult result = judged(published(id), plan);
                CHECK(!result.at_ear);
                values[wears ? 1 : 0].push_back(result.value.value());
            }
            CHECK(judged(published("eu-limit"), plan).at_ear);
        }
        CHECK(values[0] == values[1]);
    }
}

TEST_CASE("what equals the limit is within, and its margin is none, not a little less") {
    for (int tenths = 0; tenths < 300; ++tenths) {
        const double attenuation = 0.1 * tenths;
        Plan plan = simple_plan(99.0 + attenuation, 6.0, attenuation);
        plan.timeline.front().repeat = 10;
        const CriterionResult result = judged(published("iec-60601-2-33"), plan);
        CHECK(result.verdict == Verdict::Within);
        CHECK(result.margin->dB() >= 0.0);
        CHECK(near(result.margin->dB(), 0.0, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("a weekly dose is the day's dose times the days, one day where none is stated") {
    Plan plan = simple_plan(100.0, 60.0, 15.0);
    const Criterion& adult = published("who-public-adult");
    // 85 dB(A) for an hour of 40 h at 80 dB(A), by energy: 100/40 · 10^(5/10) percent.
    const double once = 2.5 * std::pow(10.0, 0.5);
    const CriterionResult unstated = judged(adult, plan);
    CHECK(unstated.quantity() == "weekly_dose");
    CHECK(unstated.is_dose());
    CHECK(near(unstated.value.value(), once, 1e-9, Because::Arithmetic));
    plan.people.front().days_per_week = 3.0;
    const CriterionResult three = judged(adult, plan);
    CHECK(near(three.value.value(), 3.0 * once, 1e-9, Because::Arithmetic));
    CHECK(text_of(three.remarks, "; ").find("3 such days") != std::string::npos);
    CHECK(near((*unstated.margin - *three.margin).dB(), 10.0 * std::log10(3.0), 1e-9,
               Because::Arithmetic));
    // Half of the time without it: that half at 100 dB(A), as a dose counts it.
    plan.people.front().wearing.fraction_of_time = 0.5;
    CHECK(near(judged(adult, plan).value.value(), 3.0 * 0.5 * (once + 2.5 * std::pow(10.0, 2.0)),
               1e-6, Because::Arithmetic));
}

TEST_CASE("the weekly average goes through value, margin, probability and verdict") {
    Plan plan = simple_plan(110.0, 8 * 60.0, 20.0);  // LEX,8h 90 at the ear
    plan.sequences.front().levels.uncertainty = LevelDifference(1.5);
    Person& person = plan.people.front();
    person.days_per_week = 2.0;
    const CriterionResult daily = judged(published("eu-limit"), plan);
    CHECK(daily.verdict == Verdict::Over);
    const Criterion week = averaged_over_week(published("eu-limit"));
    const CriterionResult weekly = judged_surely(week, plan);
    CHECK(weekly.quantity() == "LEX_8h");
    CHECK(near(weekly.value.value(), 90.0 + 10.0 * std::log10(0.4), 1e-9, Because::Arithmetic));
    CHECK(weekly.verdict == Verdict::Close);
    // One level with one spread: the normal probability of margin over uncertainty.
    CHECK(near(weekly.probability_over.value(), normal_probability(-weekly.margin->dB() / 1.5),
               1.0 / 8192.0, Because::SeededRandomness));
    CHECK(text_of(weekly.remarks, "; ").find("2 such days") != std::string::npos);
    CHECK(text_of(weekly.remarks, "; ").find("article 3(3)") != std::string::npos);
}

TEST_CASE("the loudest row at the ear is that of the segments") {
    std::mt19937 random(42);
    for (int round = 0; round < 100; ++round) {
        Plan plan = random_plan(random);
        plan.people.front().policy.criteria = {published("fda-significant-risk")};
        const Assessment assessment = assess(plan);
        double loudest = 0.0;
        for (const SegmentResult& segment : assessment.people.front().segments) {
            if (segment.row.at_ear) loudest = std::max(loudest, segment.row.at_ear->dB());
        }
        const CriterionResult& result = assessment.people.front().criteria.front();
        CHECK(result.quantity() == "LAeq_loudest");
        CHECK(result.value.value() == loudest);
        CHECK((result.verdict == Verdict::Over) == (loudest > 99.0));
    }
}

TEST_CASE("accompanying persons hear their tasks and are judged by what is for them") {
    const Plan plan = with_parent(110.0, 60.0);
    const Assessment assessment = assess(plan);
    const PersonResult& parent = assessment.people.front();
    CHECK(near(parent.exposure.at_ear_LAeq->dB(), 84.0, 1e-9, Because::Arithmetic));
    std::vector<std::string> judged_by;
    for (const CriterionResult& result : parent.criteria)
        judged_by.push_back(result.criterion->id + " " + std::string(result.quantity()));
    CHECK(judged_by == std::vector<std::string>{"iec-60601-2-33 LAeq_1h", "iec-60601-2-33 peak",
                                                "who-public-adult weekly_dose"});
    CHECK(near(parent.criteria[2].value.value(), 2.5 * std::pow(10.0, 0.4), 1e-9,
               Because::Arithmetic));
}

TEST_CASE("stated metal does not come near the magnet, and a head coil is no matter to a parent") {
    Plan plan = with_parent(110.0, 60.0);
    Protector& plug = plan.catalogue.protectors.front().protector;
    plug.fits_head_coil = false;
    CHECK(may_wear(plan, plan.people.front(), plug));
    CHECK(!warns(assess(plan), "metal-near-magnet"));
    CHECK(choose(plan).front().ranking.size() == 1);
    plug.metal_free = std::nullopt;
    CHECK(may_wear(plan, plan.people.front(), plug));
    // On the condition that it is known to be free of metal, in all that is said of it.
    CHECK(warns(assess(plan), "metal-unstated"));
    CHECK(!choose(plan).front().ranking.front().stated_metal_free);
    plan.people.front().wears = {};
    for (const Candidate& candidate : candidates_for(plan, plan.people.front()).tried)
        CHECK(!candidate.stated_metal_free);
    plan.people.front().wears = {"plug"};
    plug.metal_free = false;
    CHECK(!may_wear(plan, plan.people.front(), plug));
    CHECK(warns(assess(plan), "metal-near-magnet"));
    CHECK(choose(plan).front().ranking.empty());
    REQUIRE(choose(plan).front().not_permitted.size() == 1);
    plan.people.front().role = Role::Staff;
    CHECK(may_wear(plan, plan.people.front(), plug));
    CHECK(choose(plan).front().ranking.size() == 1);
}

TEST_CASE("a peak is compared where its limit is, and that is said") {
    Plan plan = simple_plan(110.0, 10.0, 30.0);
    plan.sequences.front().levels.LCpeak = PeakLevelC(137.0);
    plan.sequences.front().levels.LZpeak = PeakLevelZ(137.5);
    std::vector<Warning> warnings;
    const Person& person = plan.people.front();
    const ExposureDay day = day_exposure(plan, person);
    for (const Criterion& criterion : published_criteria()) {
        const auto result = judge_peak(criterion, plan, person, day, warnings);
        CHECK(result.has_value() == criterion.peak.has_value());
        if (!result) continue;
        CAPTURE(criterion.id);
        // The plug states no H, M and L, so that the peak outside counts everywhere.
        CHECK(!result->at_ear);
        const bool C_weighted = criterion.peak->weighting == PeakLimit::Weighting::C;
        CHECK(criterion.peak->at_ear == (C_weighted && criterion.with_protection));
        CHECK((text_of(result->remarks, "; ").find("outside the protector") != std::string::npos) !=
              criterion.peak->at_ear);
        CHECK(result->value == (C_weighted ? 137.0 : 137.5));
        // 137.0 dB(C) is 141.6 Pa, above the 140 and 112 Pa of the action values.
        CHECK((result->verdict == Verdict::Over) == (result->limit < 137.0));
    }
    CHECK(warnings.empty());
}

TEST_CASE("a weekly average without days a week is not used, which is said") {
    Plan plan = simple_plan(110.0, 60.0, 20.0);
    Person& person = plan.people.front();
    person.role = Role::Staff;
    plan.positions.push_back({"bore", LevelDifference(0.0)});
    person.tasks = {{.position = 0}};
    CHECK(!warns(assess(plan), "weekly-average-not-used"));
    person.policy.weekly_average = true;
    CHECK(warns(assess(plan), "weekly-average-not-used"));
    person.days_per_week = 2.0;
    CHECK(!warns(assess(plan), "weekly-average-not-used"));
}
