// What holds for every plan: nothing of the catalogue is forgotten, and what stands at a rank is
// what `assess` says of a person who wears it.
#include <algorithm>
#include <random>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/judge.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

using Wears = std::vector<std::string>;

bool toss(std::mt19937& random) { return std::bernoulli_distribution(0.5)(random); }

std::optional<bool> perhaps(std::mt19937& random) {
    if (toss(random)) return std::nullopt;
    return toss(random);
}

/// A random plan with up to eight protectors of all kinds, one of which nothing is known.
Plan plan_to_choose_by(std::mt19937& random) {
    Plan plan = random_plan(random);
    const std::vector<ProtectorType> types = {ProtectorType::FoamPlug, ProtectorType::Earmuff,
                                              ProtectorType::CanalCap, ProtectorType::CustomPlug,
                                              ProtectorType::Earmuff};
    for (std::size_t i = 0; i < types.size(); ++i) {
        if (toss(random)) continue;
        Protector protector = random_protector(random, "p" + std::to_string(i), types[i]);
        protector.fits_head_coil = perhaps(random);
        protector.metal_free = perhaps(random);
        plan.catalogue.protectors.push_back({protector});
    }
    plan.catalogue.protectors.push_back(
        {{.id = "blank", .title = "B", .type = ProtectorType::CustomPlug}});
    Person& person = plan.people.front();
    if (toss(random)) person.cannot_wear = {"muff"};
    if (toss(random)) make_staff(plan);
    person.wearing = {.fraction_of_time = 0.9, .poor_fit = toss(random)};
    for (Sequence& sequence : plan.sequences)
        if (toss(random)) sequence.levels = sequence.levels.shifted(LevelDifference(12.0));
    return plan;
}

std::multiset<Wears> all_sets(const Catalogue& catalogue) {
    std::multiset<Wears> sets;
    for (const CatalogueEntry& a : catalogue.protectors) {
        sets.insert({a.protector.id});
        for (const CatalogueEntry& b : catalogue.protectors) {
            const Wears both = {a.protector.id, b.protector.id};
            if (a.protector.is_earmuff() || !cannot_be_worn_together(catalogue, both).empty())
                continue;
            sets.insert(both);
        }
    }
    return sets;
}

/// What `assess` says of the one person when they wear this, as rated, all the time.
struct Assessed {
    PersonResult person;                                   ///< without the peaks outside
    std::optional<Verdict> peak_outside = std::nullopt;    ///< the worst of those
    Verdict verdict = Verdict::Unknown;                    ///< by all
    std::optional<LevelDifference> margin = std::nullopt;  ///< of the tightest of all
};

Assessed assessed_with(Plan plan, const Wears& wears) {
    plan.people.front().wears = wears;
    plan.people.front().wearing = {};
    Assessed assessed{assess(plan).people.front()};
    assessed.verdict = assessed.person.verdict;
    if (const CriterionResult* tightest = tightest_limit(assessed.person))
        assessed.margin = tightest->margin;
    std::erase_if(assessed.person.criteria, [&](const CriterionResult& result) {
        const bool outside = result.is_peak && !result.criterion->peak->at_ear;
        if (outside && result.decides)
            assessed.peak_outside = std::max(assessed.peak_outside, std::optional(result.verdict));
        return outside;
    });
    assessed.person.person = nullptr;  // of the plan that ends here, as are the criteria
    return assessed;
}

void check_as_assessed(const Assessed& whole, const RankedChoice& ranked) {
    const PersonResult& assessed = whole.person;
    CHECK(ranked.verdict_by_all == whole.verdict);
    CHECK(ranked.worst_margin == whole.margin);
    CHECK(ranked.method == assessed.method);
    CHECK(ranked.at_ear_LEX_8h == assessed.exposure.at_ear_LEX_8h);
    std::optional<LevelDifference> worst;
    Verdict of_limits = Verdict::Within;
    Verdict poorly_seated = Verdict::Within;
    for (const CriterionResult& result : assessed.criteria) {
        const bool counts = result.margin && !result.by_bound;
        if (counts && (!worst || *result.margin < *worst)) worst = result.margin;
        of_limits = std::max(of_limits, result.verdict);
        poorly_seated = std::max(poorly_seated, *result.with_poor_fit);
    }
    CHECK(ranked.verdict == of_limits);
    REQUIRE(worst);
    CHECK(*ranked.margin_by_wearing == *worst);
    CHECK(ranked.with_poor_fit == poorly_seated);
    if (assessed.while_scanning) CHECK(ranked.while_scanning == assessed.while_scanning);
    CHECK(ranked.methods.size() == assessed.methods.size());
}

}  // namespace

TEST_CASE("every protector and permitted pair stands once, ranked or with why it may not be worn") {
    std::mt19937 random(42);
    for (int round = 0; round < 60; ++round) {
        const Plan plan = plan_to_choose_by(random);
        const PersonChoice choice = choose(plan).front();
        std::multiset<Wears> found;
        for (const RankedChoice& ranked : choice.ranking)
            found.insert(ranked.wears);
        for (const NotPermitted& refused : choice.not_permitted) {
            found.insert(refused.wears);
            CHECK(!refused.why.empty());
        }
        CHECK(found == all_sets(plan.catalogue));
    }
}

TEST_CASE("two plugs or two earmuffs are never offered") {
    std::mt19937 random(43);
    for (int round = 0; round < 30; ++round) {
        const Plan plan = plan_to_choose_by(random);
        const PersonChoice choice = choose(plan).front();
        for (const RankedChoice& ranked : choice.ranking)
            CHECK(cannot_be_worn_together(plan.catalogue, ranked.wears).empty());
    }
}

TEST_CASE("each rank is what assess says of wearing just that, as rated and all the time") {
    std::mt19937 random(44);
    std::set<Verdict> seen;
    for (int round = 0; round < 60; ++round) {
        const Plan plan = plan_to_choose_by(random);
        const PersonChoice choice = choose(plan).front();
        for (const RankedChoice& ranked : choice.ranking) {
            CAPTURE(ranked.wears);
            seen.insert(ranked.verdict);
            if (ranked.verdict == Verdict::Unknown) {
                CHECK(assessed_with(plan, ranked.wears).person.verdict >= Verdict::Unknown);
                CHECK(!ranked.notes.empty());
            } else {
                check_as_assessed(assessed_with(plan, ranked.wears), ranked);
            }
        }
    }
    CHECK(seen.size() == 4);  // the plans hold something of every verdict
}

TEST_CASE("a limit that nothing worn changes is in verdict and margin, as in assess, and is said") {
    std::mt19937 random(47);
    int whatever = 0;
    for (int round = 0; round < 40; ++round) {
        Plan plan = plan_to_choose_by(random);
        plan.people.front().wearing = {};
        // Loud peaks, and an exposure that counts no protectors.
        for (Sequence& sequence : plan.sequences)
            sequence.levels.LCpeak = PeakLevelC(toss(random) ? 141.0 : 137.0 + round % 3);
        if (toss(random)) {
            Criterion outside = *find_published_criterion("niosh-rel");
            outside.id = "outside";
            outside.with_protection = false;
            outside.rule.level = LevelA(118.0);
            plan.people.front().policy.criteria.push_back(outside);
        }
        const PersonChoice choice = choose(plan).front();
        for (const RankedChoice& ranked : choice.ranking) {
            if (ranked.verdict == Verdict::Unknown) continue;
            CAPTURE(ranked.wears);
            const Assessed assessed = assessed_with(plan, ranked.wears);
            CHECK(ranked.verdict_by_all == assessed.verdict);
            CHECK(ranked.worst_margin == assessed.margin);
            const bool by_whatever =
                std::ranges::any_of(choice.whatever_is_worn, [&](const CriterionResult& result) {
                    return result.margin && result.margin == ranked.worst_margin;
                });
            if (!by_whatever) continue;
            ++whatever;
            CHECK(says(ranked, "whatever is worn"));
        }
    }
    CHECK(whatever > 10);
}

TEST_CASE("the verdict on peaks outside is that of assess, whatever is worn") {
    std::mt19937 random(46);
    std::set<std::optional<Verdict>> seen;
    for (int round = 0; round < 60; ++round) {
        Plan plan = plan_to_choose_by(random);
        if (toss(random)) plan.sequences.front().levels.LCpeak.reset();
        const std::optional<Verdict> peak = assessed_with(plan, {"plug"}).peak_outside;
        CHECK(choose(plan).front().peak == peak);
        seen.insert(peak);
    }
    CHECK(seen.size() >= 3);
}

namespace {

int place_of(Verdict verdict) {
    return verdict == Verdict::Unknown ? 9 : static_cast<int>(verdict);
}

}  // namespace

TEST_CASE("no rank is followed by one with a better verdict, unknown stands behind all") {
    std::mt19937 random(45);
    for (int round = 0; round < 60; ++round) {
        const Plan plan = plan_to_choose_by(random);
        const PersonChoice choice = choose(plan).front();
        CHECK(std::is_sorted(choice.ranking.begin(), choice.ranking.end(),
                             [&](const RankedChoice& a, const RankedChoice& b) {
                                 return place_of(a.verdict) < place_of(b.verdict);
                             }));
        const Verdict best = choice.ranking.front().verdict;
        if (choice.has_answer()) CHECK((best == Verdict::Within || best == Verdict::Close));
        const auto answers = std::ranges::count_if(choice.ranking, [](const RankedChoice& ranked) {
            return place_of(ranked.verdict) < place_of(Verdict::Unknown) &&
                   ranked.verdict != Verdict::Over && ranked.fits_head_coil && ranked.comfortable;
        });
        CHECK(choice.has_answer() == (answers > 0));
        CHECK(choice.required.has_value() == !choice.has_answer());
    }
}

TEST_CASE("with no criterion for the role choosing cannot be decided, as in assess") {
    Plan plan = plan_of(100.0, 60.0, {plug_of("plug", 20.0)});
    std::erase_if(plan.people.front().policy.criteria,
                  [](const Criterion& criterion) { return criterion.is_for(Role::Participant); });
    REQUIRE(assessed_with(plan, {"plug"}).person.verdict == Verdict::Unknown);
    const PersonChoice choice = choose(plan).front();
    CHECK(choice.ranking.front().verdict == Verdict::Unknown);
    CHECK(says(choice.ranking.front(), "none of the plan's criteria is for the role participant"));
    CHECK(!choice.has_answer());
    CHECK(!choice.required);
}
