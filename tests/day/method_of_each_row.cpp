#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/day/exposure_day.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Protector plug_with(const Ratings& ratings) {
    Protector plug{.id = "plug", .title = "P", .type = ProtectorType::PremouldedPlug};
    plug.ratings = ratings;
    return plug;
}

/// Two sequences and a participant with a plug: an hour of one, 20 s of another.
Plan plan_of_two(const SoundLevels& loud, const SoundLevels& localiser, const Ratings& ratings) {
    Plan plan{.title = "two"};
    plan.draws.draws = 512;
    plan.catalogue.protectors.push_back({plug_with(ratings), {"protectors.toml", 3, 1}});
    plan.sequences.push_back(
        {.id = "loud", .title = "L", .levels = loud, .stated_at = {"loud.toml", 4, 1}});
    plan.sequences.push_back(
        {.id = "localiser", .title = "l", .levels = localiser, .stated_at = {"loc.toml", 4, 1}});
    plan.timeline.push_back({.sequence = 0, .duration = Seconds(3600)});
    plan.timeline.push_back({.sequence = 1, .duration = Seconds(20)});
    plan.people.push_back(participant({"plug"}));
    plan.people.front().policy.criteria = {*find_published_criterion("niosh-rel")};
    return plan;
}

const Ratings snr_and_nrr{.SNR = LevelDifference(30), .NRR = LevelDifference(20)};
const SoundLevels with_C{
    .LAeq = LevelA(100.0), .LCeq = LevelC(101.0), .uncertainty = LevelDifference(0.0)};

SoundLevels A_alone(double LAeq) {
    return {.LAeq = LevelA(LAeq), .uncertainty = LevelDifference(0.0)};
}

const Warning* warning_of(const std::vector<Warning>& warnings, std::string_view code) {
    const auto found = std::ranges::find(warnings, code, &Warning::code);
    return found == warnings.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("each row: a card that lacks LC lowers its own row's method alone") {
    const Plan plan = plan_of_two(with_C, A_alone(95.0), snr_and_nrr);
    const ExposureDay day = day_exposure(plan, plan.people.front());
    CHECK(day.rows[0].prediction->method == Method::Snr);
    CHECK(near(day.rows[0].at_ear->dB(), 71.0, 1e-9, Because::Arithmetic));  // LC − SNR
    CHECK(day.rows[1].prediction->method == Method::Nrr);
    CHECK(near(day.rows[1].at_ear->dB(), 82.0, 1e-9, Because::Arithmetic));  // LA − (NRR − 7)
    CHECK(day.method == Method::Snr);                                        // most of the energy
    const Warning* warning = warning_of(day.warnings, "card-lacks-data");
    REQUIRE(warning);
    CHECK(warning->where->text() == "loc.toml:4:1");
    CHECK(text_of(warning->says).find("\"localiser\"") != std::string::npos);
    CHECK(text_of(warning->says).find("LCeq") != std::string::npos);
}

TEST_CASE("each row: what no method reaches counts unreduced and decides only where it does") {
    const Ratings snr{.SNR = LevelDifference(30)};
    // 20 s at 95 dB(A) are a sixth of a percent of what NIOSH permits: whatever the method.
    const Plan quiet = plan_of_two(with_C, A_alone(95.0), snr);
    const Assessment kept = assess(quiet);
    CHECK(kept.people.front().criteria.front().verdict == Verdict::Within);
    CHECK(kept.people.front().segments[1].row.is_unreached());
    CHECK(kept.people.front().segments[1].row.at_ear->dB() == 95.0);
    const Warning* warning = warning_of(kept.warnings, "card-lacks-data");
    REQUIRE(warning);
    CHECK(warning->where->text() == "loc.toml:4:1");
    // 20 s at 120 dB(A) are over, unreduced; left out, nothing is.
    const Plan loud = plan_of_two(with_C, A_alone(120.0), snr);
    const Assessment unknown = assess(loud);
    const PersonResult& person = unknown.people.front();
    CHECK(person.criteria.front().verdict == Verdict::Unknown);
    CHECK(person.criteria.front().with_poor_fit != Verdict::Within);
    CHECK(text_of(person.criteria.front().remarks, "; ").find("\"localiser\"") !=
          std::string::npos);
    CHECK(person.verdict == Verdict::Unknown);
    REQUIRE(!person.advice.empty());
    CHECK(person.advice.front().code == AdviceCode::CompleteData);
    CHECK(text_of(person.advice.front().says, " ").find("loc.toml:4:1") != std::string::npos);
    // What is over without it is over.
    SoundLevels very_loud = with_C;
    very_loud.LAeq = LevelA(130.0);
    very_loud.LCeq = LevelC(130.0);
    CHECK(assess(plan_of_two(very_loud, A_alone(120.0), snr)).verdict() == Verdict::Over);
}

TEST_CASE("each row: a protector without data leaves others answered") {
    Plan plan = plan_of_two(with_C, with_C, snr_and_nrr);
    plan.catalogue.protectors.push_back(
        {Protector{.id = "bare", .title = "B", .type = ProtectorType::Earmuff},
         {"protectors.toml", 9, 1}});
    plan.people.push_back(plan.people.front());
    plan.people.back().id = "other";
    plan.people.back().wears = {"bare"};
    const Assessment assessment = assess(plan);
    CHECK(assessment.people[0].verdict == Verdict::Within);
    CHECK(assessment.people[1].verdict == Verdict::Unknown);
    const Warning* warning = warning_of(assessment.warnings, "protector-lacks-data");
    REQUIRE(warning);
    CHECK(warning->where->text() == "protectors.toml:9:1");
}

TEST_CASE("each row: an explicit method that lacks data leaves the row unreduced") {
    Plan plan = plan_of_two(with_C, A_alone(95.0), snr_and_nrr);
    plan.people.front().policy.rules.method = Method::Snr;
    const ExposureDay day = day_exposure(plan, plan.people.front());
    CHECK(day.rows[1].is_unreached());
    const Warning* warning = warning_of(day.warnings, "card-lacks-data");
    REQUIRE(warning);
    CHECK(text_of(warning->says).find("method snr cannot be used") != std::string::npos);
}

TEST_CASE("each row: stated before computed for a task's own levels too") {
    std::mt19937 random(91);
    Plan plan{.title = "task"};
    Protector plug = plug_with({.NRR = LevelDifference(20)});
    plug.octave = random_attenuation(random);
    plan.catalogue.protectors.push_back({plug});
    plan.people.push_back({.id = "staff", .role = Role::Staff, .wears = {"plug"}});
    plan.people.front().tasks.push_back({.duration = Seconds(600), .levels = with_C});
    plan.timeline.push_back({.sequence = {}, .duration = Seconds(60)});
    // SNR and H, M, L would have to be computed; NRR stands on the label.
    CHECK(day_exposure(plan, plan.people.front()).rows.front().prediction->method == Method::Nrr);
}

TEST_CASE("each row: a list of methods holds those that reach every sequence") {
    const Plan plan = plan_of_two(with_C, A_alone(95.0), snr_and_nrr);
    const Person& person = plan.people.front();
    const auto methods = method_spread(plan, person, person.wears, person.wearing);
    REQUIRE(methods.size() == 1);
    CHECK(methods.front().method == Method::Nrr);
    CHECK(!methods.front().of_policy);  // the verdict is by two
    Plan muff = plan_of_two(A_alone(95.0), A_alone(95.0), {.SNR = LevelDifference(25)});
    CHECK(method_spread(muff, muff.people.front(), {"plug"}, {}).empty());
}

TEST_CASE("each row: a choice that hangs on what no method reaches is unknown") {
    const Ratings snr{.SNR = LevelDifference(30)};
    const auto choices = choose(plan_of_two(with_C, A_alone(120.0), snr));
    CHECK(choices.front().ranking.front().verdict == Verdict::Unknown);
    CHECK(!choices.front().has_answer());
}

TEST_CASE("each row: what is heard without the protector is certain, whatever the method") {
    // SNR alone and LA alone: no method reaches 110 dB(A) for an hour.
    Plan plan = plan_of_two(A_alone(110.0), A_alone(60.0), {.SNR = LevelDifference(30)});
    Person& person = plan.people.front();
    const auto verdict = [&] { return assess(plan).people.front().verdict; };
    CHECK(verdict() == Verdict::Unknown);
    // Half of the hour is 2016 % of NIOSH's dose for certain; 0.1 % of it is 4 %.
    person.wearing.fraction_of_time = 0.5;
    CHECK(verdict() == Verdict::Over);
    person.wearing.fraction_of_time = 0.999;
    CHECK(verdict() == Verdict::Unknown);
    const auto remark = text_of(assess(plan).people.front().criteria.front().remarks, "; ");
    CHECK(remark.find("without that sound it is 4.0 %") != std::string::npos);
}
