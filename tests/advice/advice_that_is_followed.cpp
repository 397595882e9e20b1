// Nothing is advised that nobody would do, and nothing that does not seat is offered again.
#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/choose.hpp"
#include "report/words/words.hpp"
#include "support/simple_plan.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

bool holds(const std::vector<std::string>& wears, const std::string& id) {
    return std::ranges::find(wears, id) != wears.end();
}

}  // namespace

TEST_CASE("what does not seat on somebody is offered neither by choose nor by advice") {
    std::mt19937 random(131);
    int advised = 0;
    for (int round = 0; round < 60; ++round) {
        Plan plan = random_plan(random);
        plan.people.front().wearing.poor_fit = true;  // of the plug
        const PersonChoice choice = choose(plan).front();
        CHECK(std::ranges::none_of(choice.ranking, [](const RankedChoice& ranked) {
            return holds(ranked.wears, "plug");
        }));
        const auto refused = std::ranges::find_if(
            choice.not_permitted, [](const NotPermitted& one) { return one.wears.size() == 1; });
        REQUIRE(refused != choice.not_permitted.end());
        CHECK(text_of(refused->why) == "\"plug\" does not seat (fit = \"poor\" in the plan)");
        const Assessment assessment = assess(plan);
        for (const Advice& advice : assessment.people.front().advice) {
            CHECK(!holds(advice.wears, "plug"));
            advised += advice.wears.empty() ? 0 : 1;
        }
        plan.people.front().wearing.poor_fit = false;
        CHECK(std::ranges::any_of(choose(plan).front().ranking, [](const RankedChoice& ranked) {
            return holds(ranked.wears, "plug");
        }));
    }
    CHECK(advised > 5);
}

TEST_CASE("no session is divided over more than five days, nor shortened to less than 30 s") {
    // 88 dB(A) would do for 8 h: so many days hold the rest.
    const auto person_with = [](double minutes, double LAeq) {
        static Assessment assessment;
        static Plan plan;
        plan = open_ears({sound_of(LAeq, 0.0)}, {minutes / 60.0}, "eu-limit");
        assessment = assess(plan);
        return assessment.people.front();
    };
    const double of_8_h = 87.0 + 10.0 * std::log10(8.0);  // one hour of it is the limit
    CHECK(advice_of(person_with(4.5 * 60.0, of_8_h), "spread-days").days == 5U);
    CHECK(!advises(person_with(5.5 * 60.0, of_8_h), "spread-days"));
    CHECK(says(advice_of(person_with(9.0 * 60.0, of_8_h), "shorten"), "Shorten"));
    CHECK(says(advice_of(person_with(11.0 * 60.0, of_8_h), "shorten"), "Leave out"));
    // 20 s of the three minutes that are planned.
    const double of_20_s = 87.0 + 10.0 * std::log10(8.0 * 180.0);
    CHECK(says(advice_of(person_with(3.0, of_20_s), "shorten"), "Leave out"));
}

TEST_CASE("figures far apart come with the reason") {
    Plan plan = open_ears({sound_in_bands(1.0)}, {8.0}, "eu-limit");
    wear_plug(plan, flat(20.0, 6.0));
    const Advice far = advice_of(assess(plan).people.front(), "shorten");
    REQUIRE(far.confident_seconds.has_value());
    const bool apart = *far.seconds >= 20.0 * *far.confident_seconds;
    CHECK(says(far, "lies so far from the best estimate because") == apart);
    plan.sequences.front().levels.uncertainty = LevelDifference(12.0);
    wear_plug(plan, flat(20.0, 5.0));
    const Advice further = advice_of(assess(plan).people.front(), "shorten");
    REQUIRE(further.confident_seconds.has_value());
    CHECK(*further.seconds >= 20.0 * *further.confident_seconds);
    CHECK(says(further, "uncertain by 13.0 dB (k = 1), most of it by instrument"));
}

TEST_CASE("a choice cannot be decided where nothing without a doubt is an answer") {
    PersonChoice choice{.person = nullptr, .ranking = {}};
    const Person person = participant({});
    choice.person = &person;
    choice.unprotected.verdict = Verdict::Over;
    choice.ranking = {{.wears = {"a"}, .verdict = Verdict::Unknown}};
    CHECK(choice.verdict() == Verdict::Unknown);
    choice.ranking.front().comfortable = false;
    CHECK(choice.verdict() == Verdict::Over);
    choice.ranking.push_back({.wears = {"b"}, .verdict = Verdict::Within});
    CHECK(choice.verdict() == Verdict::Within);
    choice.peak = Verdict::Unknown;
    CHECK(choice.verdict() == Verdict::Unknown);
    choice.peak = std::nullopt;
    choice.unprotected.verdict = Verdict::Unknown;
    CHECK(choice.verdict() == Verdict::Unknown);
}
