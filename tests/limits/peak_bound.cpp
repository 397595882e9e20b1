// A peak that no card states: kept by a bound above LAeq, or unknown with the remedy first.
#include <algorithm>
#include <optional>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "earbudget/review/review.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A participant in a sequence of that LAeq and no peak, against the scanner standard.
Plan without_peak(double LAeq, double u, const char* how = "entered") {
    Plan plan = simple_plan(LAeq, 1.0, 40.0);
    plan.sequences.front().levels.uncertainty = LevelDifference(u);
    plan.sequences.front().origin.how = how;
    plan.people.front().policy.criteria = {*find_published_criterion("iec-60601-2-33")};
    return plan;
}

struct Judged {
    CriterionResult peak;
    Verdict verdict;
    std::string first_advice;
    std::string first_text;
    std::size_t not_judged;
};

Judged judged(const Plan& plan) {
    const Assessment assessment = assess(plan);
    const PersonResult& person = assessment.people.front();
    const auto peak = std::ranges::find(person.criteria, true, &CriterionResult::is_peak);
    REQUIRE(peak != person.criteria.end());
    return {*peak, person.verdict,
            person.advice.empty() ? "" : std::string(name_of(person.advice.front().code)),
            person.advice.empty() ? "" : text_of(person.advice.front().says, " "),
            person.not_judged.size()};
}

}  // namespace

TEST_CASE("LAeq + 25 dB + 1.64 u, and 3 dB where the limit is unweighted, keeps it by a bound") {
    // 109.5 + 25 + 1.64 · 1.5 + 3 = 139.96 dB.
    const Judged kept = judged(without_peak(109.5, 1.5));
    CHECK(kept.peak.by_bound);
    CHECK(kept.peak.verdict == Verdict::Within);
    CHECK(kept.verdict == Verdict::Within);
    CHECK(near(kept.peak.value.value(), 139.96, 1e-9, Because::Arithmetic));
    CHECK(near(kept.peak.margin->dB(), 0.04, 1e-9, Because::Arithmetic));
    CHECK(!kept.peak.probability_over);
    CHECK(kept.not_judged == 0);
    const Judged not_kept = judged(without_peak(109.6, 1.5));
    CHECK(!not_kept.peak.by_bound);
    CHECK(not_kept.peak.verdict == Verdict::Unknown);
    CHECK(!not_kept.peak.value);
    CHECK(!not_kept.peak.margin);
    CHECK(not_kept.verdict == Verdict::Unknown);
    CHECK(not_kept.first_advice == "measure-again");
    CHECK(not_kept.first_text.find("LCpeak of \"a\"") != std::string::npos);
    CHECK(not_kept.not_judged == 1);
    // A C-weighted limit lacks the 3 dB.
    Plan plan = without_peak(112.5, 1.5);
    plan.people.front().policy.criteria.front().peak->weighting = PeakLimit::Weighting::C;
    CHECK(judged(plan).peak.by_bound);
}

TEST_CASE("leaving a limit out never looks better than naming it") {
    for (const double LAeq : {90.0, 105.0, 109.0, 112.0, 118.0}) {
        Plan named = without_peak(LAeq, 1.5);
        const Judged with = judged(named);
        named.people.front().policy.criteria.front().peak.reset();
        const Verdict left_out = assess(named).people.front().verdict;
        CAPTURE(LAeq);
        CHECK((with.verdict == left_out || with.peak.verdict == Verdict::Unknown));
        if (with.peak.by_bound) CHECK(with.verdict == left_out);
    }
}

TEST_CASE("the policy's bound, none, and no less than the unit's own measured cards show") {
    Plan plan = without_peak(109.0, 0.0);
    Policy& policy = plan.people.front().policy;
    CHECK(judged(plan).peak.by_bound);
    policy.peak_at_most_above_LAeq = LevelDifference(29.0);
    CHECK(!judged(plan).peak.by_bound);
    policy.peak_at_most_above_LAeq = std::nullopt;
    CHECK(judged(plan).verdict == Verdict::Unknown);
    policy.peak_at_most_above_LAeq = LevelDifference(12.0);
    // A card that nobody runs, measured 23 dB apart, makes it 26 dB; an entered one nothing.
    Sequence other{.id = "b", .title = "B", .levels = {.LAeq = LevelA(100.0)}};
    other.levels.LCpeak = PeakLevelC(123.0);
    other.origin.how = "measured";
    plan.sequences.push_back(other);
    CHECK(least_bound_by_measured_cards(plan).value().dB() == 26.0);
    CHECK(near(judged(plan).peak.value.value(), 109.0 + 26.0 + 3.0, 1e-9, Because::Arithmetic));
    CHECK(text_of(judged(plan).peak.remarks, "; ").find("measured cards") != std::string::npos);
    plan.sequences.back().origin.how = "entered";
    CHECK(!least_bound_by_measured_cards(plan));
    CHECK(near(judged(plan).peak.value.value(), 109.0 + 12.0 + 3.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("only for cards that were measured or entered") {
    for (const char* how : {"measured", "entered", ""})
        CHECK(judged(without_peak(100.0, 1.0, how)).peak.by_bound);
    for (const char* how : {"guessed", "declared", "predicted"}) {
        CAPTURE(how);
        const Judged result = judged(without_peak(80.0, 1.0, how));
        CHECK(result.verdict == Verdict::Unknown);
        CHECK(result.first_advice == "measure-again");
        CHECK(result.first_text.find(how) != std::string::npos);
    }
}

TEST_CASE("a stated peak that is over stays over, one beside a bound is the value where higher") {
    Plan plan = without_peak(100.0, 0.0);
    plan.sequences.push_back(plan.sequences.front());
    plan.sequences.back().id = "b";
    plan.sequences.back().levels.LZpeak = PeakLevelZ(139.0);
    plan.timeline.push_back({.sequence = 1, .duration = Seconds(60)});
    const Judged both = judged(plan);
    CHECK(both.peak.by_bound);
    CHECK(both.peak.value == 139.0);
    plan.sequences.back().levels.LZpeak = PeakLevelZ(141.0);
    const Judged over = judged(plan);
    CHECK(over.peak.verdict == Verdict::Over);
    CHECK(!over.peak.by_bound);
    CHECK(over.peak.value == 141.0);
}

TEST_CASE(
    "elsewhere the bound moves as a stated peak does, and a background's peak is not the card's") {
    Plan plan = without_peak(100.0, 0.0);
    Position room{.id = "room"};
    room.door_shut.octave_difference = {{OctaveBand::Hz125, LevelDifference(-10.0)},
                                        {OctaveBand::Hz1000, LevelDifference(-40.0)}};
    room.door_shut.difference = LevelDifference(-40.0);
    room.door_shut.background = SoundLevels{.LAeq = LevelA(30.0)};
    room.door_shut.background->LCpeak = PeakLevelC(60.0);
    plan.positions.push_back(room);
    Person& person = plan.people.front();
    person.role = Role::Accompanying;
    person.tasks.push_back({.position = 0});
    const Judged result = judged(plan);
    CHECK(result.peak.by_bound);
    CHECK(near(result.peak.value.value(), 100.0 - 10.0 + 25.0 + 3.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("a review asks for the peak although a bound keeps the limit") {
    const Plan plan = without_peak(95.0, 1.0, "measured");
    ReviewTerms terms;
    terms.policy.criteria = {*find_published_criterion("iec-60601-2-33")};
    const SequenceReview result = review(plan.sequences.front(), terms);
    REQUIRE(result.peaks.size() == 1);
    CHECK(result.peaks.front().by_bound);
    CHECK(result.peak_verdict() == Verdict::Unknown);
    CHECK(result.recommendation.code == Recommendation::Code::NotBeforeKnown);
    CHECK(text_of(result.recommendation.says).find("the peak, for iec-60601-2-33") !=
          std::string::npos);
}

TEST_CASE("the bound is no less than what a card measured without C weighting shows") {
    Plan plan = without_peak(105.0, 1.0);
    Sequence measured = plan.sequences.front();
    measured.id = "b";
    measured.origin.how = "measured";
    measured.levels.LZpeak = PeakLevelZ(140.0);
    CHECK(judged(plan).peak.by_bound);
    plan.sequences.push_back(measured);
    // 35 dB on that card and 3 dB: 105 + 38 + 1.64 + 3 = 147.6 dB.
    CHECK(!judged(plan).peak.by_bound);
    CHECK(judged(plan).peak.verdict == Verdict::Unknown);
}
