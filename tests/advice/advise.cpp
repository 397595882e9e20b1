#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

PersonResult first_person(const Plan& plan) { return assess(plan).people.front(); }

// Another plug for the simple plan, allowed in the bore.
void add_protector(Plan& plan, const std::string& id, double PAR,
                   ProtectorType type = ProtectorType::PremouldedPlug) {
    Protector protector = plan.catalogue.protectors.front().protector;
    protector.id = id;
    protector.type = type;
    protector.ratings.PAR = LevelDifference(PAR);
    plan.catalogue.protectors.push_back({protector});
}

}  // namespace

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
    const auto shorten = std::find_if(advice.begin(), advice.end(), [](const Advice& a) {
        return a.code == AdviceCode::Shorten;
    });
    REQUIRE(shorten != advice.end());
    CHECK(near(shorten->seconds->count(), 8 * 3600 / std::exp2(5.0 / 3.0), 0.002,
               Because::Arithmetic));
    CHECK(shorten->confident_seconds ==
          shorten->seconds);  // the card states that there is no error
}

TEST_CASE("what is not stated to be free of metal is advised on that condition, behind what is") {
    Plan plan = simple_plan(110.0, 60.0, 25.0);
    plan.people.front().wears = {};
    const auto advised = [&plan]() -> Advice {
        const PersonResult person = first_person(plan);
        REQUIRE(advises(person, "add-protection"));
        return advice_of(person, "add-protection");
    };
    const std::string condition = "Once known to be free of metal, wear ";
    CHECK(text_of(advised().says, " ").find(condition) == std::string::npos);
    const std::string known = plan.catalogue.protectors.front().protector.id;
    add_protector(plan, "unknown", 30.0);  // nearer to the least useful level
    plan.catalogue.protectors.back().protector.metal_free = std::nullopt;
    CHECK(advised().wears == std::vector<std::string>{known});
    plan.catalogue.protectors.erase(plan.catalogue.protectors.begin());
    CHECK(advised().wears == std::vector<std::string>{"unknown"});
    CHECK(text_of(advised().says, " ").find(condition) != std::string::npos);
    // Alike in `choose`, whose answer it is.
    const PersonChoice chosen = choose(plan).front();
    REQUIRE(chosen.answer());
    CHECK(chosen.answer()->wears == std::vector<std::string>{"unknown"});
    plan.catalogue.protectors.front().protector.metal_free = false;
    CHECK(!advises(first_person(plan), "add-protection"));
}

TEST_CASE("with a stated uncertainty, close is close and confident times are shorter") {
    Plan plan = simple_plan(110.0, 140.0, 20.0);  // 93 % of the dose
    plan.sequences.front().levels.uncertainty = LevelDifference(1.5);
    plan.sequences.front().levels.LZpeak = PeakLevelZ(122.0);
    const Assessment assessment = assess(plan);
    CHECK(assessment.verdict() == Verdict::Close);
    const auto& advice = assessment.people.front().advice;
    const auto shorten = std::find_if(advice.begin(), advice.end(), [](const Advice& a) {
        return a.code == AdviceCode::Shorten;
    });
    REQUIRE(shorten != advice.end());
    // T = 8 h / 2^((90 + 1.6449·1.5 − 85)/3).
    CHECK(near(shorten->confident_seconds->count(),
               8 * 3600 / std::exp2((5.0 + 1.644854 * 1.5) / 3.0), 5.0, Because::SeededRandomness));
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
    add_protector(plan, "better", 28.0);
    const Assessment assessment = assess(plan);
    const auto& advice = assessment.people.front().advice.front();
    CHECK(advice.code == AdviceCode::ChangeProtection);
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

TEST_CASE("the level at the ear with what is advised is the one that wearing it gives") {
    Plan plan = simple_plan(110.0, 200.0, 20.0);
    add_protector(plan, "better", 28.0);
    const Advice advice = advice_of(first_person(plan), "change-protection");
    CHECK(says(advice, "82.0 dB(A) at the ear"));
}

TEST_CASE("one protector that is enough comes before two, the quieter one above 70 dB(A) first") {
    Plan plan = simple_plan(110.0, 200.0, 20.0);
    add_protector(plan, "much", 45.0);     // 65 dB(A), more than useful
    add_protector(plan, "enough", 30.0);   // 80 dB(A)
    add_protector(plan, "quieter", 35.0);  // 75 dB(A)
    const Advice advice = advice_of(first_person(plan), "change-protection");
    CHECK(advice.wears == std::vector<std::string>{"quieter"});
}

TEST_CASE("how much reduction is missing, to the next tenth, and only where it would help") {
    // 110 − 20 = 90 dB(A) for 8 h: 85 is permitted.
    Plan plan = simple_plan(110.0, 480.0, 20.0);
    CHECK(says(advice_of(first_person(plan), "required-protection"), "5.0 dB more"));
    // 90 % of the time at 80 dB(A) would still leave 48 minutes at 110.
    plan.people.front().wearing.fraction_of_time = 0.9;
    const Advice worn_partly = advice_of(first_person(plan), "required-protection");
    CHECK(says(worn_partly,
               "No reduction would keep every exposure limit while protection is worn 90 %"));
}

TEST_CASE("a peak above its limit stays there whatever is worn, and that is said") {
    Plan plan = simple_plan(110.0, 200.0, 20.0);
    add_protector(plan, "better", 28.0);
    plan.sequences.front().levels.LZpeak = PeakLevelZ(145.0);
    const PersonResult person = first_person(plan);
    CHECK(person.verdict == Verdict::Over);
    CHECK(advises(person, "measure-again"));
    CHECK(says(advice_of(person, "change-protection"), "the peak outside stays above its limit"));
}

TEST_CASE("nothing is advised that a fit test speaks against") {
    Plan plan = simple_plan(110.0, 200.0, 20.0);
    Protector& plug = plan.catalogue.protectors.front().protector;
    plug.ratings = {.NRR = LevelDifference(36)};
    Protector muff = plug;
    muff.id = "muff";
    muff.type = ProtectorType::Earmuff;
    plan.catalogue.protectors.push_back({muff});
    Person& person = plan.people.front();
    person.PAR = LevelDifference(8.0);
    // Neither the plug by its label nor a pair with it; the muff alone is another thing.
    CHECK(advice_of(first_person(plan), "change-protection").wears ==
          std::vector<std::string>{"muff"});
    // What is worn, in another order, is no advice.
    person.wears = {"muff", "plug"};
    CHECK(!advises(first_person(plan), "add-protection"));
    CHECK(!advises(first_person(plan), "change-protection"));
}

TEST_CASE("a sequence in several rows is named with its row") {
    Plan plan = simple_plan(110.0, 200.0, 20.0);
    plan.timeline.push_back(plan.timeline.front());
    plan.timeline.back().duration = Seconds(600);
    CHECK(says(advice_of(first_person(plan), "shorten"), "\"a\" in row 1"));
}

TEST_CASE("what holds metal is told first to whoever comes near the magnet, and to nobody else") {
    Plan plan = simple_plan(80.0, 1.0, 20.0);
    plan.catalogue.protectors.front().protector.metal_free = false;
    CHECK(assess(plan).people.front().advice.front().code == AdviceCode::MetalOutside);
    plan.catalogue.protectors.front().protector.metal_free = std::nullopt;
    CHECK(!advises(assess(plan).people.front(), "metal-outside"));
    plan.catalogue.protectors.front().protector.metal_free = false;
    plan.positions.push_back({"control room", {.difference = LevelDifference(-40.0)}});
    Person& person = plan.people.front();
    person.role = Role::Staff;
    person.tasks = {{.position = 0}};
    CHECK(!advises(assess(plan).people.front(), "metal-outside"));
    plan.positions.front().near_magnet = true;
    CHECK(advises(assess(plan).people.front(), "metal-outside"));
}
