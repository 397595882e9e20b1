// Of a large catalogue a part is tried: what keeps every limit is found where all of it would find
// it, and nothing is said of what was not tried.
#include <algorithm>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/study/catalogue.hpp"
#include "report/words/words.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr CandidateBudget smallest{.for_days = 1.0};  // 20 things at least

/// More than 60 things to wear, mostly pairs; here and there one not stated to be free of metal.
Plan plan_with_many(std::mt19937& random) {
    Plan plan = random_plan(random);
    std::uniform_int_distribution<int> plugs(5, 12), muffs(9, 12), tenth(0, 9);
    const auto add = [&](const std::string& id, ProtectorType type) {
        Protector protector = random_protector(random, id, type);
        if (tenth(random) == 0) protector.metal_free = std::nullopt;
        plan.catalogue.protectors.push_back({protector});
    };
    for (int n = plugs(random); n > 0; --n)
        add("plug" + std::to_string(n), ProtectorType::FoamPlug);
    for (int n = muffs(random); n > 0; --n)
        add("muff" + std::to_string(n), ProtectorType::Earmuff);
    return plan;
}

/// One limit, so that a random part of all that can be worn keeps it, or nothing does.
void set_limit(std::mt19937& random, Plan& plan) {
    std::vector<double> levels;
    for (const Candidate& candidate : candidates_for(plan, plan.people.front()).tried)
        levels.push_back(candidate.at_ear_LEX_8h->dB());
    std::ranges::sort(levels);
    std::uniform_int_distribution<std::size_t> place(0, levels.size() / 2);
    std::uniform_int_distribution<int> third(0, 2);
    const double at = levels[third(random) == 0 ? 0 : place(random)];
    Criterion criterion = *find_published_criterion("niosh-rel");
    criterion.id = "own";
    criterion.peak = std::nullopt;
    criterion.quantity = ExposureQuantity::LEX_8h;
    criterion.rule.level = LevelA(third(random) == 0 ? levels.front() - 0.5 : at + 0.05);
    plan.people.front().policy.criteria = {criterion};
}

const Candidate* best_of(const Plan& plan, Candidates& candidates) {
    const auto best = best_within(plan, plan.people.front(), candidates);
    return best ? best->candidate : nullptr;
}

/// All that is said of anything else to wear.
std::string said_with(const Plan& plan, const PersonResult& result, Candidates& candidates) {
    const Person& person = plan.people.front();
    const ExposureDay day = day_exposure(plan, person);
    const MonteCarloDay drawn(plan, person, day);
    std::string said;
    for (const Advice& advice : advise(plan, day, drawn, result, candidates))
        said += text_of(advice.says, " ") + '\n';
    if (const auto change = largest_change(plan, person, day, candidates))
        said += text_of(change->says);
    return said;
}

bool says(const std::string& said, const std::string& what) {
    return said.find(what) != std::string::npos;
}

}  // namespace

TEST_CASE("a part of a catalogue finds what keeps every limit, and speaks of no more than it") {
    std::mt19937 random(2417);
    int found_by_all = 0, found = 0, as_good = 0, none = 0;
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        Plan plan = plan_with_many(random);
        set_limit(random, plan);
        const Person& person = plan.people.front();
        Candidates all = candidates_for(plan, person);
        Candidates part = candidates_for(plan, person, smallest);
        REQUIRE(all.left_out == 0);
        REQUIRE(part.tried.size() == 20);
        CHECK(part.tried.size() + part.left_out == all.tried.size());
        const Candidate* const best = best_of(plan, all);
        const Candidate* const of_part = best_of(plan, part);
        const Assessment assessment = assess(plan);
        const PersonResult& result = assessment.people.front();
        const std::string said = said_with(plan, result, part);
        CAPTURE(said);
        CHECK(!says(said, "Nothing in the catalogue"));
        if (result.largest_change) CHECK(says(said, " (the largest of those tried; "));
        const bool over = result.verdict == Verdict::Over;
        if (!of_part && over)
            CHECK(says(said, "None of the 20 tried of what may be worn is known to keep every"));
        if (!best) {
            ++none;
            CHECK(!of_part);
            const std::string of_all = said_with(plan, result, all);
            CHECK(says(of_all, "Nothing in the catalogue") == over);
            CHECK(!says(of_all, "tried"));
            continue;
        }
        ++found_by_all;
        if (of_part) ++found;
        if (of_part && of_part->wears == best->wears) ++as_good;
    }
    CHECK(none > 50);
    CHECK(found_by_all > 150);
    CHECK(found >= found_by_all * 98 / 100);
    CHECK(as_good > found_by_all * 9 / 10);
}

TEST_CASE("of many things to wear the strongest are always among those tried") {
    std::mt19937 random(77);
    for (int round = 0; round < 50; ++round) {
        Plan plan = plan_with_many(random);
        const Person& person = plan.people.front();
        const auto lowest = [](const Candidates& candidates) {
            return std::ranges::min(candidates.tried, {}, &Candidate::at_ear_LEX_8h)
                .at_ear_LEX_8h->dB();
        };
        const Candidates all = candidates_for(plan, person);
        const Candidates part = candidates_for(plan, person, smallest);
        // By the loudest sound alone: about the strongest.
        CHECK(near(lowest(part), lowest(all), 1.0, Because::SeededRandomness));
        // What is said of a candidate does not hang on how many there are; the order stays.
        auto next = all.tried.begin();
        for (const Candidate& one : part.tried) {
            next = std::ranges::find(next, all.tried.end(), one.wears, &Candidate::wears);
            REQUIRE(next != all.tried.end());
            CHECK(next->at_ear == one.at_ear);
            CHECK(next->over == one.over);
        }
    }
}

TEST_CASE("without a need to leave anything out everything is tried in the catalogue's order") {
    std::mt19937 random(5);
    const Plan plan = plan_with_many(random);
    const Person& person = plan.people.front();
    auto sets = wearable_sets(plan.catalogue);
    std::erase(sets, person.wears);
    const Candidates all = candidates_for(plan, person);
    REQUIRE(all.tried.size() == sets.size());
    for (std::size_t n = 0; n < sets.size(); ++n) {
        CHECK(all.tried[n].wears == sets[n]);
        CHECK(all.tried[n].at_ear_LEX_8h ==
              daily_exposure_level(day_exposure(plan, person, sets[n], Wearing{}).at_ear()));
    }
}
