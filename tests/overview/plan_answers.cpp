// What became of a plan since an earlier answer, and on whom its verdict hangs.
#include "overview/plan_answers.hpp"

#include <doctest/doctest.h>

using namespace earbudget;
using namespace earbudget::overview;

namespace {

PersonAnswer person_with(const char* id, Verdict verdict, double margin, bool by_bound = false) {
    TightestLimit tightest;
    tightest.by_bound = by_bound;
    tightest.margin = LevelDifference(margin);
    return {.id = id, .verdict = verdict, .tightest = tightest};
}

PlanAnswer plan_with(Verdict verdict, double margin) {
    return {.file = {"plan.toml", ""},
            .title = "invented",
            .verdict = verdict,
            .people = {person_with("a", verdict, margin)}};
}

EarlierPlan earlier_with(Verdict verdict, double margin) {
    return {"plan.toml", "invented", verdict, LevelDifference(margin)};
}

}  // namespace

TEST_CASE("a margin has changed when it lies more than 0.05 dB from what it was") {
    const PlanAnswer now = plan_with(Verdict::Within, 10.0);
    const auto change_from = [&](Verdict verdict, double margin) {
        const EarlierPlan before = earlier_with(verdict, margin);
        return change_of(now, &before);
    };
    CHECK(change_from(Verdict::Within, 10.0) == PlanChange::Same);
    CHECK(change_from(Verdict::Within, 10.05) == PlanChange::Same);
    CHECK(change_from(Verdict::Within, 9.95) == PlanChange::Same);
    CHECK(change_from(Verdict::Within, 10.051) == PlanChange::Margin);
    CHECK(change_from(Verdict::Within, 9.949) == PlanChange::Margin);
    CHECK(change_from(Verdict::Close, 10.0) == PlanChange::Verdict);
    CHECK(change_of(now, nullptr) == PlanChange::New);
    EarlierPlan without = earlier_with(Verdict::Within, 0.0);
    without.margin.reset();
    CHECK(change_of(now, &without) == PlanChange::Margin);
}

TEST_CASE("a plan hangs on who has the worst verdict, and of several on who has least left") {
    PlanAnswer plan{.file = {"plan.toml", ""}, .title = "invented"};
    CHECK(plan.decided_by() == nullptr);
    plan.people = {person_with("a", Verdict::Within, 1.0), person_with("b", Verdict::Close, 9.0),
                   person_with("c", Verdict::Close, 5.0)};
    CHECK(plan.decided_by()->id == "c");
    // What a bound leaves is no measured margin.
    plan.people.push_back(person_with("d", Verdict::Close, 0.1, true));
    CHECK(plan.decided_by()->id == "c");
    plan.people.push_back({.id = "e", .verdict = Verdict::Unknown});
    CHECK(plan.decided_by()->id == "e");
}

TEST_CASE("files are the same by whatever way their names lead there") {
    EarlierAnswers earlier{.file = {"before.json", ""},
                           .plans = {earlier_with(Verdict::Over, -1.0)}};
    CHECK(earlier.find("./plan.toml") == &earlier.plans.front());
    CHECK(earlier.find("a/../plan.toml") == &earlier.plans.front());
    CHECK(earlier.find("a/plan.toml") == nullptr);
}
