// Whoever follows a refusal is not refused again: what it proposes is within every bound, for that
// command and that form of report, and a little more is not.
#include "earbudget/advice/less_work.hpp"

#include <algorithm>
#include <iterator>
#include <random>
#include <string>

#include <doctest/doctest.h>

#include "report/words/words.hpp"
#include "support/random_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

constexpr double most_report = 100e6;

std::size_t one_of(std::mt19937& random, std::initializer_list<std::size_t> numbers) {
    return *(numbers.begin() +
             std::uniform_int_distribution<std::size_t>(0, numbers.size() - 1)(random));
}

Plan large_plan(std::mt19937& random) {
    Plan plan{.title = "large"};
    const std::size_t plugs = one_of(random, {0, 5, 60, 100});
    const std::size_t muffs = one_of(random, {0, 5, 60, 100});
    for (std::size_t n = 0; n < plugs; ++n)
        plan.catalogue.protectors.push_back(
            {random_protector(random, "p" + std::to_string(n), ProtectorType::FoamPlug)});
    for (std::size_t n = 0; n < muffs; ++n)
        plan.catalogue.protectors.push_back(
            {random_protector(random, "m" + std::to_string(n), ProtectorType::Earmuff)});
    const std::size_t rows = one_of(random, {4, 12, 200});
    for (std::size_t n = 0; n < rows; ++n) {
        plan.sequences.push_back(random_sequence(random, "s" + std::to_string(n)));
        plan.timeline.push_back({.sequence = n, .duration = Seconds(60.0)});
    }
    const std::size_t people = one_of(random, {1, 60, 500});
    const std::size_t kinds = one_of(random, {1, 6, 500});
    const std::size_t criteria = one_of(random, {1, 5, 60});
    for (std::size_t n = 0; n < people; ++n) {
        Person person{.id = "u" + std::to_string(n), .role = Role::Participant, .wears = {}};
        for (std::size_t i = 0; i < criteria; ++i) {
            person.policy.criteria.push_back(*find_published_criterion("niosh-rel"));
            person.policy.criteria.back().id = "own" + std::to_string(i);
        }
        person.days_per_week = 1.0 + 0.001 * static_cast<double>(n % kinds);
        plan.people.push_back(person);
    }
    return plan;
}

template <class Asked>
std::size_t check_followed(const Asked& asked, const SizeOf<Asked>& size) {
    const double before = part_of_accepted(size(asked), most_report);
    if (before <= 1.0) return 0;
    CAPTURE(text_of(too_much(size(asked), most_report)));
    const auto less = less_work(asked, size, most_report);
    CHECK_FALSE(less.empty());
    for (const auto& one : less) {
        CAPTURE(text_of(one.says));
        CHECK(part_of_accepted(size(one.asked), most_report) <= 1.0);
    }
    return 1;
}

}  // namespace

TEST_CASE("what a refusal proposes is accepted, by every bound") {
    std::mt19937 random(7);
    std::size_t refused = 0;
    using Form = ReportAsked::Form;
    for (int n = 0; n < 12; ++n) {
        const Plan plan = large_plan(random);
        for (const Form form : {Form::Text, Form::Json, Form::Page}) {
            const AskedOfPlans asked{{plan}, {.form = form, .working = n % 2 == 0}};
            refused += check_followed<AskedOfPlans>(asked, [](const AskedOfPlans& of) {
                return size_of_choose(of.plans.front(), of.asked);
            });
            refused += check_followed<AskedOfPlans>(asked, [](const AskedOfPlans& of) {
                return size_of_assess(of.plans.front(), of.asked);
            });
        }
        refused += check_followed<AskedOfPlans>(
            {{plan}}, [](const AskedOfPlans& of) { return size_of_sheet(of.plans.front()); });
        ReviewTerms terms{.catalogue = plan.catalogue};
        terms.policy = plan.people.front().policy;
        refused += check_followed<AskedOfCards>({60, terms}, [](const AskedOfCards& of) {
            return size_of_review(of.cards, of.terms, of.asked);
        });
    }
    CHECK(refused > 20);
}

TEST_CASE("any people may stay where a refusal says how many") {
    std::mt19937 random(11);
    Plan plan = large_plan(random);
    plan.catalogue.protectors = {{random_protector(random, "p", ProtectorType::FoamPlug)}};
    plan.timeline.resize(4);
    const Person someone = plan.people.front();
    plan.people.clear();
    for (unsigned n = 0; n < 500; ++n) {
        plan.people.push_back(someone);
        plan.people.back().id = "u" + std::to_string(n);
        plan.people.back().sessions_per_day = 1 + n % 7;
        plan.people.back().policy.criteria.resize(1 + n % 3, someone.policy.criteria.front());
        plan.people.back().days_per_week = 1.0 + 0.001 * (n / 2);
    }
    const SizeOf<AskedOfPlans> size = [](const AskedOfPlans& of) {
        return size_of_choose(of.plans.front(), of.asked);
    };
    const auto less =
        less_work({{plan}, {.form = ReportAsked::Form::Json, .working = true}}, size, most_report);
    REQUIRE_FALSE(less.empty());
    const std::size_t people = less.front().asked.plans.front().people.size();
    REQUIRE(people < 500);
    for (int n = 0; n < 5; ++n) {
        AskedOfPlans others = less.front().asked;
        others.plans.front().people.clear();
        std::ranges::sample(plan.people, std::back_inserter(others.plans.front().people),
                            static_cast<std::ptrdiff_t>(people), random);
        CHECK(part_of_accepted(size(others), most_report) <= 1.0);
    }
}
