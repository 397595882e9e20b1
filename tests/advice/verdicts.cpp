// Verdicts alone are those of the whole answer.
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "support/random_plan.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

void check_same_verdicts(const Plan& plan) {
    const Assessment whole = assess(plan);
    const Assessment alone = assess_verdicts(plan);
    CHECK(alone.verdict() == whole.verdict());
    REQUIRE(alone.people.size() == whole.people.size());
    for (std::size_t n = 0; n < whole.people.size(); ++n) {
        const auto& criteria = whole.people[n].criteria;
        CHECK(alone.people[n].verdict == whole.people[n].verdict);
        CHECK(alone.people[n].advice.empty());
        REQUIRE(alone.people[n].criteria.size() == criteria.size());
        for (std::size_t i = 0; i < criteria.size(); ++i) {
            const CriterionResult& one = alone.people[n].criteria[i];
            CHECK(one.verdict == criteria[i].verdict);
            CHECK(one.value == criteria[i].value);
            CHECK(one.margin == criteria[i].margin);
            CHECK(one.probability_over == criteria[i].probability_over);
            CHECK(one.decides == criteria[i].decides);
        }
    }
}

}  // namespace

TEST_CASE("verdicts, values, margins and probabilities are the same without advice") {
    std::mt19937 random(71);
    for (int round = 0; round < 40; ++round)
        check_same_verdicts(random_plan(random));
    for (int round = 0; round < 20; ++round)
        check_same_verdicts(random_staff_plan(random));
}
