// What a question costs is known from its size: it grows with every factor, and is about what is
// counted while the question is answered.
#include "earbudget/choice/work_size.hpp"

#include <random>
#include <string>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "report/words/words.hpp"
#include "support/random_plan.hpp"
#include "support/simple_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

struct Sizes {
    int people = 2, rows = 4, plugs = 3, muffs = 1, criteria = 2;
    unsigned sessions = 1;
    double fit = 0.0;
};

Plan plan_of(const Sizes& sizes) {
    std::mt19937 random(5);
    Plan plan{.title = "sized"};
    for (int n = 0; n < sizes.plugs; ++n)
        plan.catalogue.protectors.push_back(
            {random_protector(random, "p" + std::to_string(n), ProtectorType::FoamPlug)});
    for (int n = 0; n < sizes.muffs; ++n)
        plan.catalogue.protectors.push_back(
            {random_protector(random, "m" + std::to_string(n), ProtectorType::Earmuff)});
    for (int n = 0; n < sizes.rows; ++n) {
        plan.sequences.push_back(random_sequence(random, "s" + std::to_string(n)));
        plan.timeline.push_back(
            {.sequence = static_cast<std::size_t>(n), .duration = Seconds(60.0)});
    }
    for (int n = 0; n < sizes.people; ++n) {
        Person person{.id = "u" + std::to_string(n), .role = Role::Participant, .wears = {"p0"}};
        for (int i = 0; i < sizes.criteria; ++i) {
            Criterion criterion = *find_published_criterion("niosh-rel");
            criterion.id = "own" + std::to_string(i);
            person.policy.criteria.push_back(criterion);
        }
        person.sessions_per_day = sizes.sessions;
        person.fit_uncertainty = LevelDifference(sizes.fit);
        person.days_per_week = 1.0 + 0.1 * n;  // so that they differ
        plan.people.push_back(person);
    }
    return plan;
}

/// Whatever is computed, in seconds of the costs.
template <class Question>
double counted(const Question& question) {
    WorkMeter meter(1e6);
    const WorkMeter::Counting counting(&meter);
    question();
    return meter.done();
}

}  // namespace

TEST_CASE("the size of a question grows with each of its factors") {
    const Sizes sizes;
    const auto grows = [&](auto change, bool assess_too) {
        Sizes more = sizes;
        change(more);
        const Plan small = plan_of(sizes);
        const Plan large = plan_of(more);
        CHECK(size_of_choose(large).seconds > size_of_choose(small).seconds);
        CHECK(size_of_choose(large).bytes >= size_of_choose(small).bytes);
        if (assess_too) CHECK(size_of_assess(large).seconds > size_of_assess(small).seconds);
    };
    grows([](Sizes& more) { more.people = 3; }, true);
    grows([](Sizes& more) { more.rows = 5; }, true);
    grows([](Sizes& more) { more.plugs = 5; }, true);
    grows([](Sizes& more) { more.muffs = 2; }, true);
    grows([](Sizes& more) { more.criteria = 3; }, true);
    grows([](Sizes& more) { more.fit = 2.0, more.sessions = 4; }, true);
    ReviewTerms terms{.catalogue = plan_of(sizes).catalogue};
    terms.policy = plan_of(sizes).people.front().policy;
    const double one = size_of_review(1, terms).seconds;
    CHECK(size_of_review(2, terms).seconds > one);
    terms.policy.criteria.push_back(terms.policy.criteria.front());
    CHECK(size_of_review(1, terms).seconds > one);
}

TEST_CASE("people alike cost as much as one of them") {
    Plan plan = plan_of({.people = 1});
    const double one = size_of_assess(plan).seconds;
    for (int n = 0; n < 20; ++n) {
        plan.people.push_back(plan.people.front());
        plan.people.back().id = "other" + std::to_string(n);
    }
    CHECK(size_of_assess(plan).seconds == one);
}

TEST_CASE("what is one person's own costs nobody else anything") {
    Plan plan = plan_of({.people = 4, .muffs = 0});
    const double before = size_of_choose(plan).seconds;
    const WorkSize assessed = size_of_assess(plan);
    std::mt19937 random(7);
    for (const Person& person : plan.people)
        plan.catalogue.protectors.push_back(
            {random_protector(random, "own-" + person.id, ProtectorType::FoamPlug), {}, person.id});
    // Three plugs and nothing worn, then one more each, not four.
    CHECK(size_of_choose(plan).seconds == doctest::Approx(before * 5.0 / 4.0));
    Plan shared = plan;
    for (CatalogueEntry& entry : shared.catalogue.protectors)
        entry.owner.clear();
    CHECK(size_of_choose(shared).seconds == doctest::Approx(before * 8.0 / 4.0));
    CHECK(size_of_choose(shared).bytes == doctest::Approx(size_of_choose(plan).bytes * 8.0 / 5.0));
    CHECK(size_of_choose(shared).report > size_of_choose(plan).report);
    CHECK(size_of_assess(shared).seconds > size_of_assess(plan).seconds);
    CHECK(size_of_assess(plan).seconds > assessed.seconds);
    CHECK(text_of(size_of_choose(plan).factors).find("4 protectors") != std::string::npos);
    const double chosen = counted([&] { static_cast<void>(choose(plan)); });
    CAPTURE(chosen);
    CHECK(size_of_choose(plan).seconds < 3.0 * chosen);
}

TEST_CASE("what is counted while a question is answered is about its size") {
    for (const Sizes& sizes : {Sizes{}, Sizes{.people = 5}, Sizes{.rows = 30}, Sizes{.plugs = 20},
                               Sizes{.criteria = 12}, Sizes{.sessions = 3, .fit = 2.0}}) {
        const Plan plan = plan_of(sizes);
        CAPTURE(text_of(size_of_assess(plan).factors));
        const double assessed = counted([&] { static_cast<void>(assess(plan)); });
        CAPTURE(assessed);
        const double by_size = size_of_assess(plan).seconds;
        CAPTURE(by_size);
        CHECK(assessed < 2.0 * by_size);
        CHECK(assessed > by_size / 8.0);
        const double chosen = counted([&] { static_cast<void>(choose(plan)); });
        CAPTURE(chosen);
        CHECK(chosen < 3.0 * size_of_choose(plan).seconds);
        CHECK(chosen > size_of_choose(plan).seconds / 4.0);
        MESSAGE("assess ", assessed / by_size, ", choose ", chosen / size_of_choose(plan).seconds);
    }
}

TEST_CASE("what takes some seconds is not refused") {
    const Plan unlike = plan_of({.people = 50, .rows = 50, .plugs = 40, .muffs = 0});
    CHECK(part_of_accepted(size_of_choose(unlike), 1e9) < 0.7);
    const Plan seated = plan_of({.people = 50, .rows = 200, .fit = 2.5});
    CHECK(part_of_accepted(size_of_assess(seated), 1e9) < 0.7);
}

TEST_CASE("exchange rates that no other criterion has cost more, by size and by count") {
    const Plan plan = plan_of({.people = 1, .rows = 30, .criteria = 12});
    Plan other = plan;
    double exchange = 3.0;
    for (Criterion& criterion : other.people.front().policy.criteria)
        criterion.rule.exchange = LevelDifference(exchange += 1e-6);  // no verdict differs
    CHECK(size_of_assess(other).seconds > 1.05 * size_of_assess(plan).seconds);
    CHECK(counted([&] { static_cast<void>(assess(other)); }) >
          1.2 * counted([&] { static_cast<void>(assess(plan)); }));
}

TEST_CASE("sessions of the same sounds count less than as many sounds that differ") {
    const auto drawn = [](const Plan& plan) {
        const Person& person = plan.people.front();
        const ExposureDay day = day_exposure(plan, person);
        return counted([&] { static_cast<void>(MonteCarloDay(plan, person, day).judge()); });
    };
    const double sessions =
        drawn(plan_of({.people = 1, .rows = 12, .criteria = 3, .sessions = 6, .fit = 2.0}));
    const double rows = drawn(plan_of({.people = 1, .rows = 72, .criteria = 3, .fit = 2.0}));
    CHECK(sessions < 0.7 * rows);
    CHECK(sessions > 0.2 * rows);
}

TEST_CASE("too much is refused with its size before, and by the count while it is computed") {
    const Plan plan = plan_of({.people = 1000, .rows = 20, .criteria = 20});
    CHECK(part_of_accepted(size_of_assess(plan), 1e9) > 1.0);
    const std::string said = text_of(too_much(size_of_assess(plan), 1e9));
    CHECK(said.find("1000 people who differ × 20 rows") == 0);
    CHECK(said.find("× 20 criteria: about ") != std::string::npos);
    CHECK(said.find("accepted: at most 20 s") != std::string::npos);
    // What is just above does not look accepted.
    CHECK(text_of(too_much({.seconds = 20.01}, 1e9)) ==
          ": about 20.1 s of computing; accepted: at most 20 s");
    CHECK(text_of(too_much({.seconds = 1.0, .report = 100.2e6}, 100e6)) ==
          ": a report of about 100.2 MB; accepted: at most 100 MB");
    WorkMeter meter(1e-6);
    const WorkMeter::Counting counting(&meter);
    CHECK_THROWS_AS(static_cast<void>(assess(plan_of({}))), TooMuchWork);
}
