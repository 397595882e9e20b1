// What is handed out at the scanner is what keeps the limits, not what the plan says and is over.
#include "earbudget/advice/hand_out.hpp"

#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/candidates.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Wears = std::vector<std::string>;
using Kind = HandOut::Kind;

/// 100 dB(A) for an hour, 94 permitted; the first person wears that.
Plan wearing(const Wears& wears, const std::vector<Protector>& plugs) {
    Plan plan = plan_of(100.0, 60.0, plugs);
    plan.people.front().wears = wears;
    return plan;
}

}  // namespace

TEST_CASE(
    "what the plan says is handed out where it keeps the limits, though another ranks first") {
    const Plan plan = wearing({"more"}, {plug_of("best", 29.0), plug_of("more", 25.0)});
    const Assessment assessment = assess(plan);
    const HandOuts outs = hand_out(assessment);
    const HandOut& out = outs.each.front();
    CHECK(choose(plan).front().answer()->wears == Wears{"best"});
    CHECK(out.kind == Kind::AsPlanned);
    CHECK(out.wears == Wears{"more"});
    CHECK(out.spare == Wears{"best"});
    CHECK_FALSE(out.day);
}

TEST_CASE("what is over is never handed out: the answer of choose is, with its own day") {
    const Plan plan =
        wearing({"weak"}, {plug_of("weak", 2.0), plug_of("second", 25.0), plug_of("first", 29.0)});
    const Assessment assessment = assess(plan);
    CHECK(assessment.people.front().verdict == Verdict::Over);
    const HandOuts outs = hand_out(assessment);
    const HandOut& out = outs.each.front();
    CHECK(out.kind == Kind::Instead);
    CHECK(out.wears == choose(plan).front().answer()->wears);
    CHECK(out.wears == Wears{"first"});
    CHECK(out.spare == Wears{"second"});
    REQUIRE(out.day);
    CHECK(out.day->verdict == Verdict::Within);
    CHECK(out.day->person->wears == Wears{"first"});
}

TEST_CASE("metal near the magnet is not handed out, however well it protects") {
    Protector metal = plug_of("metal", 29.0);
    metal.metal_free = false;
    const Plan plan = wearing({"metal"}, {metal, plug_of("free", 25.0)});
    const Assessment assessment = assess(plan);
    CHECK(assessment.people.front().verdict == Verdict::Within);
    const HandOuts outs = hand_out(assessment);
    CHECK(outs.each.front().kind == Kind::Instead);
    CHECK(outs.each.front().wears == Wears{"free"});
    CHECK(outs.each.front().spare.empty());
}

TEST_CASE("where nothing keeps the limits nothing is handed out") {
    const Plan plan = wearing({"weak"}, {plug_of("weak", 2.0), plug_of("weaker", 1.0)});
    const Assessment assessment = assess(plan);
    const HandOuts outs = hand_out(assessment);
    CHECK(outs.each.front().kind == Kind::Nothing);
    CHECK(outs.each.front().wears.empty());
}

TEST_CASE("a spare shares nothing with what does not seat") {
    Protector muff = plug_of("muff", 25.0);
    muff.type = ProtectorType::Earmuff;
    muff.fits_head_coil = true;
    const Plan plan = wearing({"foam"}, {plug_of("foam", 29.0), muff});
    const PersonChoice choice = choose(plan).front();
    REQUIRE(choice.ranking.size() == 3);
    const RankedChoice* spare = spare_for(choice, Wears{"foam"});
    REQUIRE(spare);
    CHECK(spare->wears == Wears{"muff"});
    CHECK_FALSE(spare_for(choice, Wears{"foam", "muff"}));
    CHECK_FALSE(spare_for(choice, Wears{}));
}

TEST_CASE("what the plan has instead is no spare where the person may not wear it") {
    Protector metal = plug_of("metal", 29.0);
    metal.metal_free = false;
    Protector muff = plug_of("muff", 29.0);
    muff.type = ProtectorType::Earmuff;
    muff.fits_head_coil = false;
    for (const Protector& other : {metal, muff}) {
        CAPTURE(other.id);
        Plan plan = wearing({"free"}, {plug_of("free", 25.0), other, plug_of("last", 24.0)});
        plan.people.front().instead = {other.id};
        const Assessment assessment = assess(plan);
        const HandOuts outs = hand_out(assessment);
        CHECK(outs.each.front().kind == Kind::AsPlanned);
        CHECK(outs.each.front().spare == Wears{"last"});
        CHECK(metal_near_magnet(plan, plan.people.front()).size() == (other.id == "metal" ? 1 : 0));
    }
}

TEST_CASE("metal of a task does not change what is handed out for the rest") {
    Protector metal = plug_of("metal", 29.0);
    metal.metal_free = false;
    Plan plan = wearing({"free"}, {plug_of("free", 25.0), metal});
    plan.positions.push_back({.id = "beside", .near_magnet = true});
    Task task{.title = "beside", .position = 0, .duration = Seconds(60.0)};
    task.wears = Wears{"metal"};
    plan.people.front().tasks.push_back(task);
    const HandOuts outs = hand_out(assess(plan));
    CHECK(outs.each.front().kind == Kind::AsPlanned);
    CHECK(outs.each.front().wears == Wears{"free"});
}
