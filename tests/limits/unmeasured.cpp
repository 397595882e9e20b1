// Levels that nobody measured never give better than close, whatever the probability.
#include "earbudget/limits/unmeasured.hpp"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/hand_out.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/review/review.hpp"
#include "report/words/words.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Far within every limit, with a peak.
Plan far_within(const char* how) {
    Plan plan = simple_plan(90.0, 1.0, 30.0);
    Sequence& card = plan.sequences.front();
    card.levels.LZpeak = PeakLevelZ(100.0);
    card.levels.LCpeak = PeakLevelC(100.0);
    card.origin.how = how;
    plan.people.front().policy.criteria = {*find_published_criterion("niosh-rel"),
                                           *find_published_criterion("iec-60601-2-33")};
    return plan;
}

constexpr const char* never_within[] = {"guessed", "declared", "predicted"};
constexpr const char* may_be[] = {"measured", "entered", ""};

}  // namespace

TEST_CASE("each way is known, and three of five never give better than close") {
    CHECK(origin_ways.size() == 5);
    for (const char* how : never_within)
        CHECK(!may_be_within({.how = how}));
    for (const char* how : may_be)
        CHECK(may_be_within({.how = how}));
}

TEST_CASE("assess: every limit of who hears it is close, with what to measure first") {
    for (const char* how : never_within) {
        CAPTURE(how);
        const Plan plan = far_within(how);
        const Assessment assessment = assess(plan);
        const PersonResult& person = assessment.people.front();
        CHECK(person.verdict == Verdict::Close);
        CHECK(person.is_limited_by_origin());
        CHECK(person.criteria.size() == 3);
        for (const CriterionResult& result : person.criteria) {
            CHECK(result.verdict == Verdict::Close);
            CHECK(result.limited_by_origin);
            CHECK(result.by_probability() == Verdict::Within);
            CHECK(result.with_poor_fit != Verdict::Within);
            CHECK(text_of(result.remarks, "; ").find(how) != std::string::npos);
        }
        REQUIRE(!person.advice.empty());
        CHECK(name_of(person.advice.front().code) == "measure-again");
        CHECK(says(person.advice.front(), "record a whole run"));
        // Nothing worn makes it surer.
        CHECK(!advises(person, "change-protection"));
        CHECK(!advises(person, "shorten"));
    }
    for (const char* how : may_be) {
        const Plan plan = far_within(how);
        const Assessment assessment = assess(plan);
        CHECK(assessment.people.front().verdict == Verdict::Within);
        CHECK(assessment.people.front().unmeasured.empty());
    }
}

TEST_CASE("over stays over, and figures are those of the levels as they stand") {
    Plan plan = far_within("guessed");
    Plan measured = far_within("entered");
    const Assessment one = assess(plan), other = assess(measured);
    for (std::size_t n = 0; n < one.people.front().criteria.size(); ++n) {
        const CriterionResult& a = one.people.front().criteria[n];
        const CriterionResult& b = other.people.front().criteria[n];
        CHECK(a.value == b.value);
        CHECK(a.probability_over == b.probability_over);
    }
    CHECK(one.people.front().segments.front().repeats_left ==
          other.people.front().segments.front().repeats_left);
    plan.sequences.front().levels.LAeq = LevelA(150.0);
    CHECK(assess(plan).verdict() == Verdict::Over);
}

TEST_CASE(
    "who does not hear it is not concerned; who hears it elsewhere as measured there neither") {
    Plan plan = far_within("guessed");
    Sequence quiet = plan.sequences.front();
    quiet.id = "b";
    quiet.origin.how = "measured";
    plan.sequences.push_back(quiet);
    plan.timeline.push_back({.sequence = 1, .duration = Seconds(60)});
    Position room{.id = "room"};
    room.door_shut.measured.emplace(0, SoundLevels{.LAeq = LevelA(60.0)});
    room.door_shut.measured.emplace(1, SoundLevels{.LAeq = LevelA(60.0)});
    room.door_shut.measured_origin[0] = {.how = "measured"};
    room.door_shut.measured_origin[1] = {.how = "measured"};
    plan.positions.push_back(room);
    Person staff{.id = "operator", .role = Role::Staff};
    staff.tasks.push_back({.position = 0});
    staff.policy.criteria = {*find_published_criterion("niosh-rel")};
    plan.people.push_back(staff);
    CHECK(assess(plan).people.back().verdict == Verdict::Within);
    plan.positions.front().door_shut.measured_origin[1].how = "predicted";
    const Assessment assessment = assess(plan);
    CHECK(assessment.people.back().verdict == Verdict::Close);
    CHECK(text_of(assessment.people.back().criteria.front().remarks, "; ").find("\"b\"") !=
          std::string::npos);
}

TEST_CASE("choose: nothing in the ranking is within, the order is that of the probabilities") {
    Plan plan = far_within("declared");
    const auto choices = choose(plan);
    const PersonChoice& choice = choices.front();
    REQUIRE(!choice.ranking.empty());
    for (const RankedChoice& ranked : choice.ranking) {
        CHECK(ranked.verdict == Verdict::Close);
        CHECK(ranked.limited_by_origin);
        CHECK(ranked.peak_at_ear.value_or(Verdict::Close) == Verdict::Close);
    }
    CHECK(choice.unprotected.verdict == Verdict::Close);
    CHECK(choice.peak == Verdict::Close);
    CHECK(choice.verdict() == Verdict::Close);
    // Staff far below every limit are not given protectors for that.
    Person staff{.id = "operator", .role = Role::Staff};
    staff.tasks.push_back({.position = 0});
    staff.policy.criteria = {*find_published_criterion("niosh-rel")};
    plan.positions.push_back({.id = "room"});
    plan.positions.front().door_shut.difference = LevelDifference(-45.0);
    plan.people.push_back(staff);
    CHECK(choose(plan).back().verdict() == Verdict::Close);
    const Assessment assessment = assess(plan);
    const HandOuts outs = hand_out(assessment);
    CHECK(outs.each.front().kind == HandOut::Kind::AsPlanned);
    CHECK(outs.each.back().kind == HandOut::Kind::AsPlanned);
    CHECK(outs.each.back().wears.empty());
}

TEST_CASE("review: measure before approving, with the recording to make") {
    for (const char* how : never_within) {
        CAPTURE(how);
        const Plan plan = far_within(how);
        ReviewTerms terms{.role = Role::Participant};
        terms.policy.criteria = plan.people.front().policy.criteria;
        terms.catalogue = plan.catalogue;
        const SequenceReview reviewed = review(plan.sequences.front(), terms);
        CHECK(reviewed.recommendation.code == Recommendation::Code::NotBeforeKnown);
        CHECK(!reviewed.recommendation.approves());
        const std::string says = text_of(reviewed.recommendation.says);
        CHECK(says.find("measure before approving") == 0);
        CHECK(says.find("record a whole run") != std::string::npos);
        CHECK(says.find(how) != std::string::npos);
        for (const CriterionResult& peak : reviewed.peaks)
            CHECK(peak.verdict != Verdict::Within);
        CHECK(text_of(find_check(reviewed.checks, CheckCode::Origin)->says).find(how) == 0);
    }
}
