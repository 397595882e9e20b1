#include <algorithm>
#include <map>
#include <random>

#include <doctest/doctest.h>

#include "day/levels_by_method.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/day/methods.hpp"
#include "support/near.hpp"
#include "support/plugs.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

bool toss(std::mt19937& random) { return std::bernoulli_distribution(0.6)(random); }

/// A plug of which some ratings are stated, on sequences with some of their levels.
Plan partly_known(std::mt19937& random) {
    Plan plan = random_plan(random);
    std::uniform_real_distribution<double> rating(8.0, 38.0);
    Protector& plug = plan.catalogue.protectors.front().protector;
    if (toss(random)) plug.octave.reset();
    for (auto member : {&Ratings::SNR, &Ratings::H, &Ratings::M, &Ratings::L, &Ratings::NRR,
                        &Ratings::NRR_SF, &Ratings::SLC80, &Ratings::PAR}) {
        if (toss(random)) plug.ratings.*member = LevelDifference(rating(random));
    }
    for (Sequence& sequence : plan.sequences) {
        if (toss(random)) continue;
        sequence.levels.octave = {};
        if (toss(random)) sequence.levels.LCeq.reset();
    }
    return plan;
}

std::map<Method, LevelA> levels_of(const std::vector<MethodOutcome>& outcomes) {
    std::map<Method, LevelA> levels;
    for (const MethodOutcome& outcome : outcomes)
        levels.emplace(outcome.method, *outcome.at_ear_LEX_8h);
    return levels;
}

std::vector<MethodOutcome> spread_for(const Plan& plan) {
    const Person& person = plan.people.front();
    return method_spread(plan, person, person.wears, person.wearing);
}

/// Whether every sequence that is played allows a method, straight from the data.
bool has_data(const Plan& plan, Method method) {
    const AttenuationData worn = plan.catalogue.protectors.front().protector.attenuation();
    return std::all_of(plan.timeline.begin(), plan.timeline.end(), [&](const TimelineRow& row) {
        return !row.sequence || !find_obstacle(method, plan.sequences[*row.sequence].levels, worn,
                                               PredictionRules{});
    });
}

/// A protector that reduces every band by A and says so by every rating of ISO 4869-2.
Plan flat_plan(std::mt19937& random, double A) {
    Plan plan = random_plan(random);
    Protector& plug = plan.catalogue.protectors.front().protector;
    plug.octave = flat_attenuation(A);
    const LevelDifference same(A);
    plug.ratings = {.SNR = LevelDifference(A + 1.0), .H = same, .M = same, .L = same};
    return plan;
}

}  // namespace

TEST_CASE("every method with its data is there once, none without") {
    std::mt19937 random(61);
    for (int round = 0; round < 200; ++round) {
        const Plan plan = partly_known(random);
        const auto outcomes = spread_for(plan);
        const auto levels = levels_of(outcomes);
        CHECK(levels.size() == outcomes.size());
        for (const Method method : methods_best_first) {
            CAPTURE(name_of(method));
            CHECK(levels.contains(method) == has_data(plan, method));
        }
    }
}

TEST_CASE("the levels by a method alone are those of the day by it") {
    std::mt19937 random(68);
    int reached = 0;
    int without = 0;
    for (int round = 0; round < 300; ++round) {
        Plan plan = partly_known(random);
        Person& person = plan.people.front();
        std::vector<std::string> wears = {"plug"};
        if (toss(random)) wears.emplace_back("muff");
        if (!toss(random)) person.PAR = LevelDifference(14.0);
        if (!toss(random))
            person.policy.rules.derating.kind =
                derating_rows.keys()[static_cast<std::size_t>(round) % 6];
        if (toss(random)) {
            Task task{.duration = Hours(1.0), .sequence = 0};
            if (toss(random)) task.wears = {"muff"};
            task.wearing.poor_fit = toss(random);
            person.tasks.push_back(task);
        }
        const Wearing wearing{.fraction_of_time = toss(random) ? 1.0 : 0.9};
        LevelsByMethod levels(plan, person, wears, wearing);
        for (const Method method : methods_best_first) {
            CAPTURE(name_of(method));
            const auto day = day_or_obstacle(plan, asking_for(method, person), wears, wearing);
            const auto unreached = [](const ExposureRow& row) {
                return row.sequence && row.with_protector && row.sound && !row.prediction;
            };
            const bool all = day && std::ranges::none_of(day->rows, unreached);
            const ExposureDay* const alone = levels.by(asked_of(person, method));
            REQUIRE((alone != nullptr) == all);
            ++(all ? reached : without);
            if (!all) continue;
            CHECK(alone->method == day->method);
            for (std::size_t n = 0; n < day->rows.size(); ++n) {
                CHECK(alone->rows[n].at_ear == day->rows[n].at_ear);
                CHECK((alone->rows[n].prediction == nullptr) ==
                      (day->rows[n].prediction == nullptr));
            }
        }
    }
    CHECK(reached > 200);
    CHECK(without > 200);
}

TEST_CASE("the policy's method is marked once and is the day's, between the extremes") {
    std::mt19937 random(62);
    int with_policy = 0;
    for (int round = 0; round < 200; ++round) {
        Plan plan = partly_known(random);
        if (toss(random)) {
            std::uniform_int_distribution<std::size_t> any(0, methods_best_first.size() - 1);
            plan.people.front().policy.rules.method = methods_best_first[any(random)];
        }
        const auto outcomes = spread_for(plan);
        const auto marked = std::count_if(outcomes.begin(), outcomes.end(),
                                          [](const MethodOutcome& o) { return o.of_policy; });
        const MethodSpread spread = spread_of(outcomes);
        CHECK(marked == (spread.of_policy ? 1 : 0));
        const ExposureDay day = day_exposure(plan, plan.people.front());
        const auto by_it = [&](const ExposureRow& row) {
            return row.prediction && row.prediction->method == day.method;
        };
        // With "best" rests may have a method of their own; an asked one leaves them unreduced.
        const bool asked = plan.people.front().policy.rules.method.has_value();
        const bool single = std::ranges::all_of(day.rows, [&](const ExposureRow& row) {
            return (asked && !row.sequence) || by_it(row);
        });
        CHECK(spread.of_policy.has_value() == single);
        if (!single) continue;
        ++with_policy;
        CHECK(*spread.of_policy == *daily_exposure_level(day.at_ear()));
        CHECK(levels_of(outcomes).at(*day.method) == *spread.of_policy);
        CHECK(*spread.lowest <= *spread.of_policy);
        CHECK(*spread.of_policy <= *spread.highest);
    }
    CHECK(with_policy > 50);
}

TEST_CASE("equal attenuation in all bands: octave bands and H, M, L agree, SNR is LC − A − 1.5") {
    std::mt19937 random(63);
    std::uniform_int_distribution<int> attenuation(8, 40);
    for (int round = 0; round < 50; ++round) {
        const double A = attenuation(random);
        const Plan plan = flat_plan(random, A);
        const auto levels = levels_of(spread_for(plan));
        // ISO 4869-2, clauses 6 and 7: both are LA − A, whatever the spectrum.
        CHECK(near(levels.at(Method::Octave).dB(), levels.at(Method::Hml).dB(), 1e-9,
                   Because::Arithmetic));
        const Person& person = plan.people.front();
        const double outside =
            daily_exposure_level(day_exposure(plan, person, {}, {}).outside())->dB();
        CHECK(near(levels.at(Method::Octave).dB(), outside - A, 1e-9, Because::Arithmetic));
        std::vector<ExposurePart> by_C;
        for (const ExposureRow& row : day_exposure(plan, person).rows) {
            const double LC = row.sound->c_weighted_level()->dB();
            by_C.push_back({LevelA(LC - A - 1.0), person.sessions_per_day * row.time});
        }
        CHECK(near(levels.at(Method::Snr).dB(), daily_exposure_level(by_C)->dB(), 1e-9,
                   Because::Arithmetic));
    }
}

TEST_CASE("H, M and L computed for equal attenuation, to whole decibels, agree within 0.2 dB") {
    std::mt19937 random(64);
    for (int round = 0; round < 50; ++round) {
        Plan plan = flat_plan(random, 10.0 + round % 20);
        plan.catalogue.protectors.front().protector.ratings = {};
        const auto levels = levels_of(spread_for(plan));
        CHECK(near(levels.at(Method::Octave).dB(), levels.at(Method::Hml).dB(), 0.2,
                   Because::PrintedRounding));
    }
}

TEST_CASE("beside a fit test stands what the label would say without it") {
    std::mt19937 random(65);
    for (int round = 0; round < 50; ++round) {
        Plan plan = partly_known(random);
        plan.catalogue.protectors.front().protector.ratings.PAR.reset();
        auto without = levels_of(spread_for(plan));
        plan.people.front().PAR = LevelDifference(12.0);
        const auto outcomes = spread_for(plan);
        REQUIRE(!outcomes.empty());
        CHECK(outcomes.front().method == Method::Par);
        CHECK(outcomes.front().of_policy);
        auto labels = levels_of(outcomes);
        labels.erase(Method::Par);
        CHECK(labels == without);
    }
}

TEST_CASE("each method has the policy's derating where a publication defines it, else none") {
    std::mt19937 random(66);
    Plan plan = flat_plan(random, 20.0);
    plan.catalogue.protectors.front().protector.ratings.NRR = LevelDifference(20.0);
    PredictionRules& rules = plan.people.front().policy.rules;
    rules.method = Method::Nrr;
    for (const auto kind : {Derating::Kind::Niosh, Derating::Kind::Csa, Derating::Kind::OshaHalf,
                            Derating::Kind::Uk4dB, Derating::Kind::Trlv}) {
        CAPTURE(name_of(kind));
        rules.derating = {};
        const auto plain = levels_of(spread_for(plan));
        rules.derating.kind = kind;
        for (const MethodOutcome& outcome : spread_for(plan)) {
            CAPTURE(name_of(outcome.method));
            const bool defined = is_defined(kind, outcome.method);
            CHECK(outcome.derating == (defined ? kind : Derating::Kind::None));
            CHECK((*outcome.at_ear_LEX_8h > plain.at(outcome.method)) == defined);
        }
    }
    CHECK(method_spread(plan, plan.people.front(), {}, {}).empty());
}
