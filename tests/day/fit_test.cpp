// An individual's fit test: what it stands above, how uncertain it is, and for what it holds.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// A plug of which every rating is stated, all at odds with the fit test of the person wearing it.
Plan tested_plan(std::mt19937& random, double PAR) {
    Plan plan = random_plan(random);
    const LevelDifference label(33.0);
    plan.catalogue.protectors.front().protector.ratings = {label, label, label, label,
                                                           label, label, label, label};
    plan.people.front().PAR = LevelDifference(PAR);
    return plan;
}

/// One hour at 100 dB(A) by NIOSH's limit alone, of which 94.0 are permitted at the ear.
Plan one_hour(double PAR) {
    Plan plan = plan_of(100.0, 60.0, {plug_of("plug", 40.0)});
    judge_only_by(plan, "niosh-rel");
    plan.people.front().wears = {"plug"};
    plan.people.front().PAR = LevelDifference(PAR);
    return plan;
}

double probability_of(const Plan& plan) {
    return assess(plan).people.front().criteria.front().probability_over.value();
}

/// Probability that a normal error exceeds so many standard deviations.
double normal_tail(double deviations) { return 0.5 * std::erfc(deviations / std::numbers::sqrt2); }

double reduction_of(const Plan& plan) {
    return assess(plan).people.front().segments.front().reduction.dB();
}

// One error is stratified to one draw; two and more stray by sqrt(P(1 − P)/8192) at most, 0.0055,
// of which twice.
constexpr double of_one_draw = 1.0 / 8192.0;
constexpr double of_many_draws = 0.011;

}  // namespace

TEST_CASE("a person's fit test beats every method of the policy and every label") {
    std::mt19937 random(71);
    Plan plan = tested_plan(random, 12.5);
    std::vector<std::optional<Method>> asked(methods_best_first.begin(), methods_best_first.end());
    asked.push_back(std::nullopt);
    for (const auto& method : asked) {
        plan.people.front().policy.rules.method = method;
        const ExposureDay day = day_exposure(plan, plan.people.front());
        CHECK(day.method == Method::Par);
        for (const ExposureRow& row : day.rows)
            CHECK(near((*row.outside() - *row.at_ear).dB(), 12.5, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("a derating made for labels is not taken off a fit test, the others are") {
    Plan plan = one_hour(24.0);
    struct Row {
        Derating derating;
        double reduction;
    };
    for (const Row& row : std::vector<Row>{{{Derating::Kind::None}, 24.0},
                                           {{Derating::Kind::Niosh}, 24.0},
                                           {{Derating::Kind::OshaHalf}, 24.0},
                                           {{Derating::Kind::Csa}, 24.0},
                                           {{Derating::Kind::Uk4dB}, 20.0},  // HSE L108: any method
                                           {{Derating::Kind::Own, LevelDifference(6.0)}, 18.0}}) {
        CAPTURE(name_of(row.derating.kind));
        plan.people.front().policy.rules.derating = row.derating;
        CHECK(near(reduction_of(plan), row.reduction, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("the spread of a fit test and that of the card add by their squares") {
    for (const double PAR : {5.0, 6.5, 8.0, 12.0}) {
        CAPTURE(PAR);
        Plan plan = one_hour(PAR);
        plan.sequences.front().levels.uncertainty = LevelDifference(1.2);
        const double margin = 94.0 - (100.0 - PAR);
        CHECK(near(probability_of(plan), normal_tail(margin / 1.2), of_one_draw,
                   Because::SeededRandomness));
        plan.people.front().PAR_uncertainty = LevelDifference(3.5);
        CHECK(near(probability_of(plan), normal_tail(margin / std::hypot(1.2, 3.5)), of_many_draws,
                   Because::SeededRandomness));
        // Outside the protector its spread is nobody's.
        plan.people.front().policy.criteria.front().with_protection = false;
        CHECK(near(probability_of(plan), normal_tail(-6.0 / 1.2), of_one_draw,
                   Because::SeededRandomness));
    }
}

TEST_CASE("a spread that makes within uncertain is close") {
    Plan plan = one_hour(10.0);  // 4 dB left
    plan.sequences.front().levels.uncertainty = LevelDifference(1.2);
    CHECK(assess(plan).verdict() == Verdict::Within);
    plan.people.front().PAR_uncertainty = LevelDifference(3.5);  // 4 dB are 1.08 deviations
    CHECK(assess(plan).verdict() == Verdict::Close);
}

TEST_CASE("choosing goes by the fit test for what was tested and by labels for all else") {
    std::mt19937 random(72);
    for (int round = 0; round < 20; ++round) {
        Plan plan = tested_plan(random, 9.0);
        plan.catalogue.protectors.push_back(
            {random_protector(random, "other", ProtectorType::FoamPlug)});
        const PersonChoice tested = choose(plan).front();
        Plan untested = plan;
        untested.people.front().PAR.reset();
        const PersonChoice labels = choose(untested).front();
        REQUIRE(tested.ranking.size() == labels.ranking.size());
        const double outside =
            daily_exposure_level(day_exposure(plan, plan.people.front()).outside())->dB();
        for (const RankedChoice& choice : tested.ranking) {
            CAPTURE(choice.wears);
            if (choice.wears == plan.people.front().wears) {
                CHECK(near(choice.at_ear_LEX_8h->dB(), outside - 9.0, 1e-9, Because::Arithmetic));
                continue;
            }
            const auto same = std::find_if(
                labels.ranking.begin(), labels.ranking.end(),
                [&](const RankedChoice& other) { return other.wears == choice.wears; });
            REQUIRE(same != labels.ranking.end());
            CHECK(choice.at_ear_LEX_8h == same->at_ear_LEX_8h);
            CHECK(choice.method == same->method);
        }
    }
}

TEST_CASE("a pair that was tested is the same pair in either order") {
    std::mt19937 random(73);
    Plan plan = tested_plan(random, 21.0);
    plan.catalogue.protectors.front().protector.ratings.PAR.reset();
    for (const auto& wears :
         std::vector<std::vector<std::string>>{{"plug", "muff"}, {"muff", "plug"}}) {
        plan.people.front().wears = wears;
        const PersonChoice choice = choose(plan).front();
        for (const RankedChoice& ranked : choice.ranking)
            CHECK((ranked.method == Method::Par) == (ranked.wears.size() == 2));
    }
}

TEST_CASE("a pair that was tested is not called estimated, and its fit test gets no allowance") {
    std::mt19937 random(75);
    Plan plan = tested_plan(random, 21.0);
    plan.people.front().wears = {"plug", "muff"};
    const auto is_called_estimated = [&plan] {
        const auto warnings = assess(plan).warnings;
        return std::any_of(warnings.begin(), warnings.end(),
                           [](const Warning& w) { return w.code() == "pair-estimated"; });
    };
    CHECK(!is_called_estimated());
    CHECK(near(reduction_of(plan), 21.0, 1e-9, Because::Arithmetic));
    plan.people.front().PAR.reset();
    CHECK(is_called_estimated());
}

TEST_CASE("of a pair that was tested nothing is unknown") {
    Plan plan = plan_of(100.0, 60.0, {plug_of("plug", 20.0), plug_of("muff", 0.0)});
    plan.catalogue.protectors.front().protector.ratings.NRR = LevelDifference(20.0);
    Protector& muff = plan.catalogue.protectors.back().protector;
    muff.type = ProtectorType::Earmuff;
    muff.ratings = {};  // nothing stated
    plan.people.front().wears = {"plug", "muff"};
    plan.people.front().policy.rules.method = std::nullopt;
    const auto is_called_unknown = [&plan] {
        const auto warnings = assess(plan).warnings;
        return std::ranges::any_of(
            warnings, [](const Warning& w) { return w.code() == "pair-with-unknown"; });
    };
    CHECK(is_called_unknown());
    plan.people.front().PAR = LevelDifference(21.0);
    CHECK(!is_called_unknown());
    CHECK(near(reduction_of(plan), 21.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("a fit test with a derating that is not defined for a pair is never counted as nothing") {
    std::mt19937 random(74);
    Plan plan = tested_plan(random, 21.0);
    plan.people.front().wears = {"plug", "muff"};
    plan.people.front().policy.rules.derating.kind = Derating::Kind::Trlv;
    CHECK_THROWS_AS(static_cast<void>(day_exposure(plan, plan.people.front())), Obstacle);
}

TEST_CASE("a poor fit leaves 10 dB of a fit test, or less where less was found") {
    for (const double PAR : {0.0, 6.0, 10.0, 24.0}) {
        Plan plan = one_hour(PAR);
        plan.people.front().wearing.poor_fit = true;
        CHECK(near(reduction_of(plan), std::min(PAR, 10.0), 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("30 dB worn 90 % of the time act like 10 dB, 25 dB for 58 of 60 minutes like 14.4") {
    Plan plan = one_hour(30.0);
    plan.people.front().wearing.fraction_of_time = 0.9;
    CHECK(near(reduction_of(plan), 10.0, 0.05, Because::PrintedRounding));  // common practice
    // HSE L108 prints 14 for 25 dB not worn during 2 of 60 minutes.
    plan.people.front().PAR = LevelDifference(25.0);
    plan.people.front().wearing.fraction_of_time = 58.0 / 60.0;
    CHECK(near(reduction_of(plan), 14.4, 0.05, Because::PrintedRounding));
    CHECK(near(reduction_of(plan),
               -10.0 * std::log10(58.0 / 60.0 * std::pow(10.0, -2.5) + 2.0 / 60.0), 1e-9,
               Because::Arithmetic));
}

TEST_CASE("worn part of the time a fit test's uncertainty counts by the energy heard through it") {
    Plan plan = plan_of(95.0, 480.0, {plug_of("plug", 30.0)});
    plan.sequences.front().levels.uncertainty = LevelDifference(0.5);
    Person& person = plan.people.front();
    person.role = Role::Staff;
    make_staff(plan);
    person.wears = {"plug"};
    person.PAR = LevelDifference(30.0);
    person.PAR_uncertainty = LevelDifference(6.0);
    person.wearing.fraction_of_time = 0.88;
    person.policy.criteria = {*find_published_criterion("eu-limit")};
    // 12 % of the time at 95 dB(A) hold 99.3 % of the energy: ISO/IEC Guide 98-3, first order,
    // which 6 dB of a hundredth of the energy miss by less than the draws stray.
    const double through = 0.88e-3;
    const double share = through / (through + 0.12);
    const double level = 95.0 + 10.0 * std::log10(through + 0.12);
    const double z = (87.0 - level) / std::hypot(0.5, share * 6.0);
    const double expected = 0.5 * std::erfc(z / std::sqrt(2.0));
    const auto result = assess(plan).people.front().criteria.front();
    CHECK(
        near(result.probability_over.value(), expected, of_many_draws, Because::SeededRandomness));
    CHECK(result.verdict == Verdict::Within);
}
