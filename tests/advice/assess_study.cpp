// Visits that differ: the weeks that their spacing permits, what is worked out over them, and what
// they come to.
#include "earbudget/advice/assess_study.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/study_advice.hpp"
#include "earbudget/limits/judge.hpp"
#include "support/near.hpp"
#include "support/random_plan.hpp"
#include "support/random_staff_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

Visit visit_of_plan(Plan plan, unsigned times, unsigned days_apart) {
    return {.plan = std::move(plan), .title = "visit", .times = times, .days_apart = days_apart};
}

/// Weeks of visits with nothing in them.
std::vector<VisitsOfWeek> weeks_with(const std::vector<std::pair<unsigned, unsigned>>& visits) {
    Study study{.title = "invented"};
    for (const auto& [times, apart] : visits)
        study.visits.push_back(visit_of_plan({.title = "empty"}, times, apart));
    auto weeks = heaviest_weeks(study);
    std::ranges::sort(weeks);
    return weeks;
}

/// A plan whose participant is judged by a weekly dose, all of it near the limit: `level` is at the
/// ear of who wears nothing.
Plan weekly_plan(double level, LevelDifference uncertainty) {
    Plan plan{.title = "invented"};
    Sequence sequence{.id = "tone", .title = "invented", .levels = {LevelA(level)}};
    sequence.origin.how = "measured";
    sequence.levels.uncertainty = uncertainty;
    plan.sequences.push_back(sequence);
    plan.timeline.push_back({.sequence = 0, .duration = Hours(1)});
    Person person{.id = "p", .role = Role::Accompanying};
    person.policy.criteria = {*find_published_criterion("who-public-adult")};
    plan.people.push_back(person);
    plan.people.front().tasks.push_back({.title = "beside"});
    return plan;
}

const CriterionResult& week_of(const StudyAssessment& assessment) {
    REQUIRE(assessment.people.size() == 1);
    REQUIRE(assessment.people.front().week.size() == 1);
    return assessment.people.front().week.front().result;
}

/// One protector, of which only the fit of the individual is not known.
void wear_uncertain_fit(Plan& plan, double fit_dB) {
    Protector plug = {.id = "plug", .title = "invented", .type = ProtectorType::PremouldedPlug};
    plug.ratings.SNR = LevelDifference(20.0);
    plan.catalogue.protectors = {{plug}};
    Person& person = plan.people.front();
    person.wears = {"plug"};
    person.PAR = LevelDifference(15.0);
    person.PAR_uncertainty = LevelDifference(fit_dB);
}

}  // namespace

TEST_CASE("weeks hold what the least spacing permits, 7 days in a row") {
    using Weeks = std::vector<VisitsOfWeek>;
    CHECK(weeks_with({{1, 1}}) == Weeks{{1}});
    CHECK(weeks_with({{3, 7}}) == Weeks{{1}});
    CHECK(weeks_with({{3, 6}}) == Weeks{{2}});
    CHECK(weeks_with({{3, 3}}) == Weeks{{3}});   // days 1, 4 and 7
    CHECK(weeks_with({{10, 1}}) == Weeks{{7}});  // every day
    CHECK(weeks_with({{1, 1}, {1, 7}}) == Weeks{{0, 1}, {1, 0}});
    CHECK(weeks_with({{1, 1}, {1, 6}}) == Weeks{{1, 1}});
    // The first visit's own spacing is between its times; what comes before it is nothing.
    CHECK(weeks_with({{2, 30}, {2, 2}}) == Weeks{{1, 2}});
    CHECK(weeks_with({{7, 1}, {7, 1}}) ==
          Weeks{{0, 7}, {1, 6}, {2, 5}, {3, 4}, {4, 3}, {5, 2}, {6, 1}, {7, 0}});
}

TEST_CASE("a visit n times in a week is a plan with n days a week") {
    std::mt19937 random(23);
    int judged = 0;
    for (int round = 0; round < 60; ++round) {
        Plan plan = random_staff_plan(random);
        const auto days = 1U + static_cast<unsigned>(round % 5);
        for (Person& person : plan.people) {
            person.fit_uncertainty = LevelDifference(0.5 * (round % 4));
            person.days_per_week = days;
            person.policy.criteria.clear();
            person.policy.weekly_average = true;
            for (const Criterion& criterion : published_criteria())
                if (criterion.is_for(person.role))
                    person.policy.criteria.push_back(averaged_over_week(criterion));
        }
        const Assessment alone = assess_verdicts(plan);
        Study study{.title = "invented", .visits = {visit_of_plan(plan, days, 1)}};
        for (Person& person : study.visits.front().plan.people)
            person.days_per_week.reset();
        const StudyAssessment visits = assess(study);
        REQUIRE(visits.people.size() == alone.people.size());
        for (std::size_t n = 0; n < alone.people.size(); ++n) {
            for (const CriterionResult& one : alone.people[n].criteria) {
                if (one.is_peak || !is_on_week(*one.criterion, alone.people[n].person->policy))
                    continue;
                const auto& week = visits.people[n].week;
                const auto same = std::ranges::find_if(week, [&](const WeekResult& other) {
                    return other.result.criterion->id == one.criterion->id;
                });
                REQUIRE(same != week.end());
                const CriterionResult& other = same->result;
                CHECK(other.decides == one.decides);
                CHECK(other.verdict == one.verdict);
                REQUIRE(other.value.has_value() == one.value.has_value());
                if (one.value)
                    CHECK(near(*other.value, *one.value, 1e-9 * (1.0 + std::abs(*one.value)),
                               Because::Arithmetic));
                REQUIRE(other.margin.has_value() == one.margin.has_value());
                if (one.margin)
                    CHECK(near(other.margin->dB(), one.margin->dB(), 1e-9, Because::Arithmetic));
                REQUIRE(other.probability_over.has_value() == one.probability_over.has_value());
                if (one.probability_over) {
                    CHECK(std::abs(*other.probability_over - *one.probability_over) <= 0.01);
                    ++judged;
                }
            }
        }
    }
    CHECK(judged > 100);
}

TEST_CASE("what two visits share does not average out, what each has of its own does") {
    const auto part = [](const std::vector<Visit>& visits, ErrorKind kind) {
        const Study study{.title = "invented", .visits = visits};
        const StudyAssessment assessment = assess(study);
        for (const ErrorShare& share : week_of(assessment).first_order->parts)
            if (share.kind == kind) return share.standard.dB();
        return 0.0;
    };
    Plan plan = weekly_plan(100.0, LevelDifference(2.0));
    wear_uncertain_fit(plan, 4.0);
    const Visit twice = visit_of_plan(plan, 2, 1);
    const std::vector<Visit> two = {visit_of_plan(plan, 1, 1), visit_of_plan(plan, 1, 1)};
    // The same card of the same measurement, or the same ears: one error on both days.
    CHECK(near(part(two, ErrorKind::Instrument), 2.0, 1e-9, Because::Arithmetic));
    CHECK(near(part({twice}, ErrorKind::Instrument), 2.0, 1e-9, Because::Arithmetic));
    // One insertion each; days of one visit share it, as all days of days_per_week do.
    CHECK(near(part({twice}, ErrorKind::Fit), 4.0, 1e-9, Because::Arithmetic));
    CHECK(near(part(two, ErrorKind::Fit), 4.0 / std::sqrt(2.0), 1e-9, Because::Arithmetic));
    // So too for the share of the draws: twice as loud an insertion is less probable on both days.
    const auto probability = [](const std::vector<Visit>& visits) {
        const Study study{.title = "invented", .visits = visits};
        return *week_of(assess(study)).probability_over;
    };
    CHECK(probability({twice}) > probability(two) + 0.01);
}

TEST_CASE("days are judged by their own limits and weeks by the heaviest") {
    Plan quiet = weekly_plan(80.0, LevelDifference(1.0));
    Plan loud = weekly_plan(95.0, LevelDifference(1.0));
    for (Plan* plan : {&quiet, &loud}) {
        plan->people.front().policy.criteria.push_back(*find_published_criterion("iec-60601-2-33"));
        plan->people.front().policy.peak_at_most_above_LAeq.reset();
    }
    const auto assessed = [&](unsigned apart) {
        return Study{.title = "invented",
                     .visits = {visit_of_plan(quiet, 2, 1), visit_of_plan(loud, 1, apart),
                                visit_of_plan(quiet, 1, 1)}};
    };
    const Study near_study = assessed(1);
    const StudyAssessment together = assess(near_study);
    REQUIRE(together.people.front().week.size() == 1);
    CHECK(together.people.front().week.front().week == VisitsOfWeek{2, 1, 1});
    const double E = 3.0 * std::pow(10.0, 8.0) + std::pow(10.0, 9.5);
    CHECK(near(*week_of(together).value, 100.0 * E / (40.0 * std::pow(10.0, 8.0)), 1e-9,
               Because::Arithmetic));
    const Study far_study = assessed(7);
    const StudyAssessment apart = assess(far_study);
    CHECK(apart.people.front().week.front().week == VisitsOfWeek{0, 1, 1});
    // No limit on a day is on the week's list, and the other way round.
    for (const PersonAtVisit& at : apart.people.front().visits)
        for (const CriterionResult* limit : at.limits)
            CHECK((limit->is_peak || limit->criterion->id == "iec-60601-2-33"));
}

TEST_CASE("all visits together: days, sessions, times and sound exposure") {
    Plan first = weekly_plan(90.0, LevelDifference(1.0));
    first.people.front().sessions_per_day = 2;
    Plan second = weekly_plan(84.0, LevelDifference(1.0));
    Person other = second.people.front();
    other.id = "q";
    second.people.push_back(other);
    const Study study{.title = "invented",
                      .visits = {visit_of_plan(first, 3, 7), visit_of_plan(second, 1, 14)}};
    const StudyAssessment all = assess(study);
    REQUIRE(all.people.size() == 2);
    const StudyTotal& total = all.people.front().total;
    CHECK(total.days == 4);
    CHECK(total.sessions == 7);
    CHECK(total.scanning == Hours(7));
    const double p0 = 20e-6;
    const double Pa2h = p0 * p0 * (6.0 * std::pow(10.0, 9.0) + std::pow(10.0, 8.4));
    CHECK(near(total.at_ear_Pa2h, Pa2h, 1e-9, Because::Arithmetic));
    CHECK(near(total.outside_Pa2h, Pa2h, 1e-9, Because::Arithmetic));
    // NIOSH 98-126: 85 dB for 8 h, 3 dB; 84 dB(A) counts too.
    const double hours_at_90 = 8.0 / std::exp2(5.0 / 3.0), hours_at_84 = 8.0 * std::exp2(1.0 / 3.0);
    CHECK(near(total.niosh_percent, 100.0 * (6.0 / hours_at_90 + 1.0 / hours_at_84), 1e-6,
               Because::Arithmetic));
    CHECK(all.people.back().id == "q");
    CHECK(all.people.back().missing == std::vector<std::size_t>{0});
    CHECK(all.people.front().missing.empty());
}

TEST_CASE("a level that nobody measured at one visit leaves its week no better than close") {
    const Plan measured = weekly_plan(70.0, LevelDifference(1.0));
    Plan guessed = measured;
    guessed.sequences.front().origin.how = "guessed";
    const auto verdict = [](const std::vector<Visit>& visits) {
        const Study study{.title = "invented", .visits = visits};
        return week_of(assess(study)).verdict;
    };
    CHECK(verdict({visit_of_plan(measured, 2, 1)}) == Verdict::Within);
    CHECK(verdict({visit_of_plan(measured, 1, 1), visit_of_plan(guessed, 1, 1)}) == Verdict::Close);
}

TEST_CASE("a week of a neonate cannot be decided, as the day cannot, unless it is over") {
    for (const auto& [level, expected] : {std::pair(60.0, Verdict::Unknown), {120.0, Verdict::Over}}) {
        CAPTURE(level);
        Plan plan = weekly_plan(level, LevelDifference(1.0));
        Person& person = plan.people.front();
        person.age_group = AgeGroup::Neonate;
        person.policy.criteria = {*find_published_criterion("who-public-child")};
        const Assessment alone = assess(plan);
        REQUIRE(alone.people.size() == 1);
        CHECK(alone.people.front().verdict == expected);
        Study study{.title = "invented"};
        study.visits = {visit_of_plan(plan, 2, 3)};
        const StudyAssessment both = assess(study);
        CHECK(week_of(both).verdict == expected);
        CHECK(both.people.front().verdict == expected);
    }
}

TEST_CASE("what is handed out over the visits of a study is found visit by visit, and adds up") {
    Plan plan = weekly_plan(88.0, LevelDifference(1.0));
    Protector plug = {.id = "plug", .title = "invented", .type = ProtectorType::PremouldedPlug};
    plug.metal_free = true;
    plug.ratings.PAR = LevelDifference(20.0);
    plan.catalogue.protectors = {{plug}};
    // Alone within the week's dose, three times in a week over it.
    const Study once{.title = "invented", .visits = {visit_of_plan(plan, 1, 7)}};
    CHECK(assess(once).verdict() == Verdict::Within);
    const StudyAdvice as_planned = advise(once);
    CHECK(as_planned.visits.front().outs.each.front().kind == HandOut::Kind::AsPlanned);
    CHECK(!as_planned.instead);
    const Study often{.title = "invented", .visits = {visit_of_plan(plan, 7, 1)}};
    CHECK(assess(often).verdict() == Verdict::Over);
    const StudyAdvice other = advise(often);
    REQUIRE(other.visits.size() == 1);
    CHECK(other.visits.front().outs.each.front().kind == HandOut::Kind::Instead);
    REQUIRE(other.with_it("p"));
    CHECK(other.with_it("p")->verdict == Verdict::Within);
    // As the visit's own plan has it, with as many days a week.
    CHECK(near(other.with_it("p")->tightest()->margin->dB(),
               tightest_limit(*other.visits.front().outs.each.front().day)->margin->dB(), 1e-9,
               Because::Arithmetic));
}

TEST_CASE("nothing is decided for a neonate over a week either, and the tightest is the plan's") {
    Plan plan = weekly_plan(60.0, LevelDifference(1.0));
    plan.people.front().role = Role::Participant;
    plan.people.front().tasks.clear();
    plan.people.front().age_group = AgeGroup::Neonate;
    plan.people.front().days_per_week = 1;
    const Study study{.title = "invented", .visits = {visit_of_plan(plan, 1, 7)}};
    const StudyAssessment assessment = assess(study);
    const PersonResult alone = assess_verdicts(plan).people.front();
    CHECK(alone.verdict == Verdict::Unknown);
    CHECK(assessment.verdict() == Verdict::Unknown);
    const CriterionResult* tightest = assessment.people.front().tightest();
    REQUIRE(tightest);
    CHECK(tightest->criterion->id == tightest_limit(alone)->criterion->id);
    CHECK(tightest->verdict == Verdict::Unknown);
}
