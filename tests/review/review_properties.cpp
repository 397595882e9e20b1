// Properties of permitted times, over random sequences and protectors.
#include <algorithm>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/review/review.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Whether so long a day of one level keeps a criterion, by the criterion itself.
bool keeps(const Criterion& criterion, LevelA level, Seconds time) {
    const std::vector<ExposurePart> day = {{level, time}};
    return !is_over(criterion, day);
}

}  // namespace

TEST_CASE("review: the permitted time keeps the limit, 1 % more does not") {
    std::mt19937 random(61);
    int limited = 0;
    for (int round = 0; round < 60; ++round) {
        const Sequence sequence = random_sequence(random, "a");
        for (const Role role : role_rows.keys()) {
            ReviewTerms terms{.role = role};
            terms.policy.criteria = review_criteria(role, AgeGroup::Adult).criteria;
            terms.catalogue = Catalogue{
                .protectors = {{random_protector(random, "plug", ProtectorType::PremouldedPlug)},
                               {random_protector(random, "muff", ProtectorType::Earmuff)}},
                .pairs = {}};
            const SequenceReview result = review(sequence, terms);
            REQUIRE(result.choices.size() == 4);
            for (const ReviewedChoice& choice : result.choices) {
                REQUIRE(choice.undecidable.empty());
                for (const PermittedByCriterion& by : choice.permitted) {
                    const LevelA level =
                        by.criterion->with_protection ? *choice.at_ear : sequence.levels.LAeq;
                    const Seconds time = by.best->a_day;
                    if (by.best->kind == PermittedTime::Kind::NoTime) {
                        CHECK(!keeps(*by.criterion, level, Seconds(1.0)));
                        continue;
                    }
                    CHECK(keeps(*by.criterion, level, time));
                    if (by.poorly_seated) CHECK(by.poorly_seated->a_day <= time);
                    if (by.confident) CHECK(by.confident->a_day <= time);
                    if (by.best->kind != PermittedTime::Kind::Limited) continue;
                    ++limited;
                    CHECK(!keeps(*by.criterion, level, 1.01 * time));
                }
            }
        }
    }
    CHECK(limited > 500);
}

TEST_CASE("review: the order of the catalogue changes no time") {
    std::mt19937 random(62);
    const Sequence sequence = random_sequence(random, "a");
    ReviewTerms terms{.role = Role::Participant};
    terms.policy.criteria = review_criteria(terms.role, AgeGroup::Adult).criteria;
    terms.catalogue = Catalogue{};
    for (const char* id : {"p", "q", "r"}) {
        terms.catalogue->protectors.push_back({random_protector(
            random, id, *id == 'r' ? ProtectorType::Earmuff : ProtectorType::FoamPlug)});
    }
    const SequenceReview result = review(sequence, terms);
    std::ranges::reverse(terms.catalogue->protectors);
    const SequenceReview reversed = review(sequence, terms);
    REQUIRE(result.choices.size() == 6);
    REQUIRE(reversed.choices.size() == 6);
    for (const ReviewedChoice& choice : result.choices) {
        const auto same = std::ranges::find(reversed.choices, choice.wears, &ReviewedChoice::wears);
        REQUIRE(same != reversed.choices.end());
        for (std::size_t i = 0; i < choice.permitted.size(); ++i)
            CHECK(same->permitted[i].best->a_day == choice.permitted[i].best->a_day);
    }
}
