#include "earbudget/choice/choose.hpp"

#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Wears = std::vector<std::string>;

PersonChoice first(const Plan& plan) { return choose(plan).front(); }

std::vector<Wears> order_of(const PersonChoice& choice) {
    std::vector<Wears> order;
    for (const RankedChoice& ranked : choice.ranking)
        order.push_back(ranked.wears);
    return order;
}

}  // namespace

TEST_CASE("each step of the ranking comes before all that follow") {
    // 100 dB(A) for an hour, 94 permitted: 80 dB(A) at the ear is useful, 60 more than that.
    std::vector<Protector> plugs;
    std::vector<Wears> expected;
    for (const double PAR : {20.0, 40.0, 2.0}) {
        for (const bool fits : {true, false}) {
            for (const bool stated : {true, false}) {
                for (const bool comfortable : {true, false}) {
                    Protector plug = plug_of("p" + std::to_string(plugs.size()), PAR);
                    plug.fits_head_coil = fits;
                    plug.metal_free = stated ? std::optional(true) : std::nullopt;
                    plug.canal = {comfortable ? CanalSize::Small : CanalSize::Large};
                    expected.push_back({plug.id});
                    plugs.push_back(plug);
                }
            }
        }
    }
    std::mt19937 random(41);
    for (int round = 0; round < 10; ++round) {
        std::shuffle(plugs.begin(), plugs.end(), random);
        Plan plan = plan_of(100.0, 60.0, plugs);
        plan.people.front().canal = CanalSize::Small;
        CHECK(order_of(first(plan)) == expected);
    }
}

TEST_CASE("within, then close, then over by little before over by much, unknown last") {
    Protector unknown = plug_of("unknown", 0.0);
    unknown.ratings = {};
    Plan plan = plan_of(100.0, 60.0,
                        {unknown, plug_of("over-4", 2.0), plug_of("over-1", 5.0),
                         plug_of("close", 7.0), plug_of("within", 20.0)});
    plan.sequences.front().levels.uncertainty = LevelDifference(1.5);
    const PersonChoice choice = first(plan);
    CHECK(order_of(choice) ==
          std::vector<Wears>{{"within"}, {"close"}, {"over-1"}, {"over-4"}, {"unknown"}});
    std::vector<Verdict> verdicts;
    for (const RankedChoice& ranked : choice.ranking)
        verdicts.push_back(ranked.verdict);
    CHECK(verdicts == std::vector<Verdict>{Verdict::Within, Verdict::Close, Verdict::Over,
                                           Verdict::Over, Verdict::Unknown});
    CHECK(near(choice.ranking[2].worst_margin->dB(), -1.0, 1e-9, Because::Arithmetic));
    CHECK(near(choice.ranking[3].worst_margin->dB(), -4.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("each rank but the first says in what it stands behind the one above") {
    std::vector<Protector> plugs = {plug_of("best", 25.0),  plug_of("louder", 20.0),
                                    plug_of("canal", 25.0), plug_of("metal", 25.0),
                                    plug_of("coil", 25.0),  plug_of("much", 40.0),
                                    plug_of("over-1", 5.0), plug_of("over-4", 2.0)};
    plugs[2].canal = {CanalSize::Large};
    plugs[3].metal_free = std::nullopt;
    plugs[4].fits_head_coil = false;
    Plan plan = plan_of(100.0, 60.0, plugs);
    plan.people.front().canal = CanalSize::Small;
    const std::vector<std::string> words = {"",
                                            "further from 70 dB(A)",
                                            "agrees to or has ear canals for",
                                            "free of metal",
                                            "coil",
                                            "more than is useful",
                                            "its verdict is worse",
                                            "further over the limit"};
    const PersonChoice choice = first(plan);
    CHECK(choice.ranking.front().reason.empty());
    for (std::size_t n = 0; n < plugs.size(); ++n) {
        CAPTURE(plugs[n].id);
        CHECK(choice.ranking[n].wears == Wears{plugs[n].id});
        CHECK(text_of(choice.ranking[n].reason).find(words[n]) != std::string::npos);
    }
}

TEST_CASE("one protector comes before two, and the closest to the least useful level first") {
    Plan plan = plan_of(100.0, 60.0,
                        {plug_of("plug", 12.0), plug_of("muff", 15.0, ProtectorType::Earmuff)});
    // The pair leaves 71 dB(A), which is closer to 70 than 85 or 88.
    plan.catalogue.pairs.push_back({.plug = "plug",
                                    .earmuff = "muff",
                                    .attenuation = {.ratings = {.PAR = LevelDifference(29.0)}}});
    CHECK(order_of(first(plan)) == std::vector<Wears>{{"muff"}, {"plug"}, {"plug", "muff"}});
    // Where 87 dB(A) is the least useful, 88 is closer than 85 and not below.
    plan.people.front().policy.least_useful = LevelA(87.0);
    const PersonChoice choice = first(plan);
    CHECK(order_of(choice) == std::vector<Wears>{{"plug"}, {"muff"}, {"plug", "muff"}});
    CHECK(!choice.ranking[0].more_than_useful);
    CHECK(choice.ranking[1].more_than_useful);
}

TEST_CASE("only plugs and only earmuffs come before what the person does not agree to") {
    // Both would be within; the other one is always the closer to 70 dB(A).
    Plan plan = plan_of(100.0, 60.0,
                        {plug_of("plug", 12.0), plug_of("muff", 12.0, ProtectorType::Earmuff)});
    plan.catalogue.protectors[1].protector.ratings.PAR = LevelDifference(25.0);
    plan.people.front().only = WearsOnly::Plugs;
    PersonChoice choice = first(plan);
    CHECK(order_of(choice).front() == Wears{"plug"});
    CHECK(!says(choice.ranking[0], "agrees"));
    CHECK(says(choice.ranking[1], "person agrees to plugs only"));
    plan.catalogue.protectors[1].protector.ratings.PAR = LevelDifference(8.0);
    plan.people.front().only = WearsOnly::Earmuffs;
    choice = first(plan);
    CHECK(order_of(choice).front() == Wears{"muff"});
    CHECK(says(choice.ranking[1], "person agrees to earmuffs only"));
}

TEST_CASE("known metal is not permitted for a participant, alone and in pairs, but for staff") {
    Protector metal = plug_of("metal", 25.0);
    metal.metal_free = false;
    Plan plan = plan_of(100.0, 60.0, {metal, plug_of("muff", 20.0, ProtectorType::Earmuff)});
    const PersonChoice in_bore = first(plan);
    CHECK(order_of(in_bore) == std::vector<Wears>{{"muff"}});
    REQUIRE(in_bore.not_permitted.size() == 2);
    CHECK(in_bore.not_permitted[0].wears == Wears{"metal"});
    CHECK(in_bore.not_permitted[1].wears == Wears{"metal", "muff"});
    for (const NotPermitted& refused : in_bore.not_permitted)
        CHECK(text_of(refused.why) == "\"metal\" is not free of metal and must not enter the bore");
    make_staff(plan);
    const PersonChoice outside = first(plan);
    CHECK(outside.not_permitted.empty());
    CHECK(outside.ranking.size() == 3);
    plan.people.front().cannot_wear = {"muff"};
    REQUIRE(first(plan).not_permitted.size() == 2);
    CHECK(text_of(first(plan).not_permitted[0].why) == "the person cannot wear \"muff\"");
}

TEST_CASE("the head coil and metal are no matter for staff") {
    Protector muff = plug_of("muff", 20.0, ProtectorType::Earmuff);
    muff.fits_head_coil = std::nullopt;
    muff.metal_free = std::nullopt;
    Plan plan = plan_of(100.0, 60.0, {muff});
    const RankedChoice in_bore = first(plan).ranking.front();
    CHECK(!in_bore.fits_head_coil);
    CHECK(!in_bore.stated_metal_free);
    CHECK(says(in_bore, "\"muff\" does not fit the head coil, as far as is stated"));
    CHECK(says(in_bore, "\"muff\" is not stated to be free of metal: make sure"));
    make_staff(plan);
    const RankedChoice outside = first(plan).ranking.front();
    CHECK(outside.fits_head_coil);
    CHECK(outside.stated_metal_free);
    CHECK(!says(outside, "head coil"));
    CHECK(!says(outside, "metal"));
}

TEST_CASE("each rank says in words how far it is from the limit and what speaks against it") {
    Plan plan = plan_of(100.0, 60.0,
                        {plug_of("good", 20.0), plug_of("much", 35.0), plug_of("little", 2.0)});
    plan.catalogue.protectors[1].protector.canal = {CanalSize::Small, CanalSize::Medium};
    plan.catalogue.protectors[1].protector.fits_head_coil = false;
    plan.people.front().canal = CanalSize::Large;
    const PersonChoice choice = first(plan);
    // NIOSH permits 94.0 dB(A) for an hour (98-126, table 1-1), less than the highest hour's 99.
    CHECK(text_of(choice.ranking[0].notes.front()) == "14.0 dB left to niosh-rel");
    CHECK(says(choice.ranking[1], "29.0 dB left to niosh-rel"));
    CHECK(says(choice.ranking[1],
               "65.0 dB(A) at the ear while sequences run is below 70 dB(A): more than is useful"));
    CHECK(says(choice.ranking[1], "\"much\" does not fit the head coil"));
    CHECK(!says(choice.ranking[1], "as far as is stated"));
    CHECK(says(choice.ranking[1], "\"much\" is not made for a large ear canal"));
    CHECK(text_of(choice.ranking[2].notes.front()) == "4.0 dB over niosh-rel");
    // Poorly seated, 10 dB leave 105 of 115 dB(A): over 94.
    const RankedChoice louder = first(plan_of(115.0, 60.0, {plug_of("good", 25.0)})).ranking[0];
    CHECK(louder.with_poor_fit == Verdict::Over);
    CHECK(says(louder, "hangs on the fit: poorly seated it is over a limit"));
    CHECK(!says(choice.ranking[0], "hangs on the fit"));
}
