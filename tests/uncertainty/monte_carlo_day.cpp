#include "earbudget/uncertainty/monte_carlo_day.hpp"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "support/near.hpp"
#include "support/normal_quantile.hpp"
#include "support/simple_plan.hpp"
#include "support/spread_plan.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

// One variable is stratified: its probability is off by no more than half of one draw.
constexpr double of_one_draw = 1.0 / 8192.0;

// A probability near 5 % strays by sqrt(0.05·0.95/8192) = 0.0024 without stratification; with it by
// less. Four of those.
constexpr double of_many_draws = 0.01;

}  // namespace

TEST_CASE("one level, one spread: the normal probability and its 95 % level") {
    for (const double level : {82.0, 84.0, 86.9, 88.0, 90.0}) {
        for (const double u : {0.5, 1.5, 3.0}) {
            const Plan plan = open_ears({sound_of(level, u)}, {8.0}, "eu-limit");
            const auto result = DrawnDay(plan).day.judge().front();
            CHECK(near(result.probability_over, normal_probability((level - 87.0) / u), of_one_draw,
                       Because::SeededRandomness));
            CHECK(
                near(*result.not_exceeded, level + z95 * u, 0.002 * u, Because::SeededRandomness));
        }
    }
}

TEST_CASE("without any uncertainty every draw is the best estimate") {
    std::mt19937 random(11);
    for (int round = 0; round < 20; ++round) {
        Plan plan = random_plan(random);
        for (Sequence& sequence : plan.sequences)
            sequence.levels.uncertainty = LevelDifference(0.0);
        plan.background->uncertainty = LevelDifference(0.0);
        for (CatalogueEntry& entry : plan.catalogue.protectors) {
            for (const OctaveBand band : octave_bands) {
                auto& octave = *entry.protector.octave;
                if (octave.has(band)) octave.set(band, octave.mean(band), LevelDifference(0.0));
            }
        }
        Person& person = plan.people.front();
        person.wearing.fraction_of_time = round % 2 == 0 ? 1.0 : 0.9;
        for (const Criterion& criterion : published_criteria())
            person.policy.criteria.push_back(criterion);
        for (Criterion& criterion : person.policy.criteria)
            criterion.roles = {Role::Participant};
        const DrawnDay drawn(plan, {.draws = 8});
        const auto results = drawn.day.judge();
        for (std::size_t i = 0; i < results.size(); ++i) {
            const Criterion& criterion = person.policy.criteria[i];
            CAPTURE(criterion.id);
            const auto parts = parts_for(criterion, drawn.exposed);
            const double value = *value_of(criterion, parts);
            CHECK(near(*results[i].not_exceeded, value, 1e-9 * std::max(1.0, value),
                       Because::Arithmetic));
            CHECK(results[i].probability_over == (is_over(criterion, parts) ? 1.0 : 0.0));
        }
    }
}

TEST_CASE("a flat protector: level and people add by their squares") {
    // L − (mean − sd) at z = −1: the mean of people is sd lower.
    for (const double sd : {2.0, 4.0, 6.0}) {
        Plan plan = open_ears({sound_of(110.0, 1.5)}, {8.0}, "eu-limit");
        SoundLevels& sound = plan.sequences.front().levels;
        for (std::size_t i = 0; i < octave_band_count; ++i)
            sound.octave.set(octave_bands[i], LevelZ(90.0));
        sound.LAeq = *a_weighted(sound.octave).sum();
        wear_plug(plan, flat(30.0, sd));
        plan.people.front().policy.criteria.front().rule.level = LevelA(72.0);
        const DrawnDay drawn(plan);
        const auto result = drawn.day.judge().front();
        const double mean = drawn.exposed.rows.front().while_worn->dB() - sd;
        const double u = std::hypot(1.5, sd);
        // Bands left out by the method (31.5 Hz and 16 kHz) shift R by nothing: it cancels.
        CHECK(near(result.probability_over, normal_probability((mean - 72.0) / u), of_many_draws,
                   Because::SeededRandomness));
        CHECK(near(*result.not_exceeded, mean + z95 * u, 0.03 * u, Because::SeededRandomness));
    }
}

TEST_CASE("shared errors stay, independent ones average out") {
    const Plan shared =
        open_ears({sound_of(85.0, 2.0), sound_of(85.0, 2.0)}, {4.0, 4.0}, "eu-limit");
    const Plan apart =
        open_ears({unshared(85.0, 2.0), unshared(85.0, 2.0)}, {4.0, 4.0}, "eu-limit");
    const auto together = DrawnDay(shared).day.judge().front();
    const auto alone = DrawnDay(apart).day.judge().front();
    CHECK(near(*together.not_exceeded, 85.0 + z95 * 2.0, 0.005, Because::SeededRandomness));
    // (10^(x/10) + 10^(y/10))/2 of independent normal x and y: below by quadrature in 20,000 steps.
    const double ln = std::log(10.0) / 10.0;
    const auto probability_above = [&](double level) {
        double sum = 0.0;
        constexpr int steps = 20000;
        for (int i = 0; i < steps; ++i) {
            const double x = 2.0 * normal_quantile((i + 0.5) / steps);
            const double rest = 2.0 * std::exp(ln * level) - std::exp(ln * x);
            sum += rest <= 0.0 ? 1.0 : 1.0 - normal_probability(std::log(rest) / ln / 2.0);
        }
        return sum / steps;
    };
    CHECK(near(alone.probability_over, probability_above(2.0), of_many_draws,
               Because::SeededRandomness));
    CHECK(near(probability_above(*alone.not_exceeded - 85.0), 0.05, of_many_draws,
               Because::SeededRandomness));
    CHECK(*alone.not_exceeded < *together.not_exceeded - 0.5);
}

TEST_CASE("the 95 % level holds in 94 to 96 % of simulated truths") {
    // Truths by an ordinary generator with the model of docs/uncertainty.md written out again.
    Plan plan = open_ears({sound_of(100.0, 1.5), unshared(103.0, 1.0)}, {1.0, 0.5}, "eu-limit");
    plan.sequences[1].levels.uncertainty_parts->instrument = LevelDifference(1.2);
    wear_plug(plan, flat(24.0, 4.0));
    for (Sequence& sequence : plan.sequences) {
        const double LAeq = sequence.levels.LAeq.dB();
        for (std::size_t i = 1; i + 1 < octave_band_count; ++i)
            sequence.levels.octave.set(octave_bands[i], LevelZ(LAeq - 7.0));
        sequence.levels.LAeq = *a_weighted(sequence.levels.octave).sum();
    }
    plan.people.front().fit_uncertainty = LevelDifference(2.0);
    plan.people.front().wearing.fraction_of_time = 0.97;
    plan.people.front().worn_uncertainty = 0.01;
    const DrawnDay drawn(plan);
    const double bound = *drawn.day.judge().front().not_exceeded;
    std::mt19937_64 random(20000);
    std::normal_distribution<double> z;
    constexpr int truths = 20000;
    int held = 0;
    for (int i = 0; i < truths; ++i) {
        const double instrument = z(random);
        const double reduction = 24.0 + 4.0 * z(random) + 2.0 * z(random);
        const double worn = std::clamp(0.97 + 0.01 * z(random), 0.0, 1.0);
        const double at_ear = worn * std::pow(10.0, -std::max(reduction, 0.0) / 10.0) + 1.0 - worn;
        const double first = plan.sequences[0].levels.LAeq.dB() + 1.5 * instrument;
        const double second =
            plan.sequences[1].levels.LAeq.dB() + 1.2 * instrument + 1.0 * z(random);
        const double energy = std::pow(10.0, first / 10.0) + 0.5 * std::pow(10.0, second / 10.0);
        if (10.0 * std::log10(at_ear * energy / 8.0) <= bound) ++held;
    }
    MESSAGE("the 95 % level of ", bound, " dB held in ", held, " of ", truths, " truths");
    CHECK(held >= truths * 94 / 100);
    CHECK(held <= truths * 96 / 100);
}

TEST_CASE("a seed gives the same bytes on any number of threads") {
    std::mt19937 random(5);
    Plan plan = random_plan(random);
    plan.people.front().policy.criteria.push_back(published("osha-action"));
    const auto once = DrawnDay(plan, {.draws = 20000, .seed = 9}).day.judge();
    for (const unsigned threads : {1U, 2U, 5U}) {
        const auto again = DrawnDay(plan, {.draws = 20000, .seed = 9, .threads = threads}).day.judge();
        for (std::size_t i = 0; i < once.size(); ++i) {
            CHECK(again[i].probability_over == once[i].probability_over);
            CHECK(again[i].not_exceeded == once[i].not_exceeded);
        }
    }
    // Nor do a person's draws depend on who else is there, or on the order of the cards.
    plan.people.insert(plan.people.end(), plan.people.front());
    plan.people.back().id = "another";
    CHECK(DrawnDay(plan, {.draws = 20000, .seed = 9}).day.judge()[0].not_exceeded ==
          once[0].not_exceeded);
    CHECK(DrawnDay(plan, {.draws = 20000, .seed = 10}).day.judge()[0].not_exceeded !=
          once[0].not_exceeded);
}

TEST_CASE("more uncertainty makes the 95 % level no lower") {
    double before = 0.0;
    for (const double u : {0.0, 0.5, 1.0, 2.0, 4.0}) {
        const Plan plan =
            open_ears({sound_of(85.0, u), unshared(84.0, u)}, {3.0, 5.0}, "niosh-rel");
        const double bound = *DrawnDay(plan).day.judge().front().not_exceeded;
        CHECK(bound > before);
        before = bound;
    }
}
