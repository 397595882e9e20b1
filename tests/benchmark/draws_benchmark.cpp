// How long drawing a person's day takes, held against a plain loop that calls std::pow for every
// band, segment and draw, in the same run. Prints; a missed target is no failure.
#include <cmath>
#include <cstdio>
#include <random>
#include <vector>

#include "benchmark/median.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/random_plan.hpp"

namespace {

using namespace earbudget;

constexpr std::size_t million = 1'000'000;
constexpr std::size_t plain_draws = 20'000;
constexpr int runs = 5;

/// `rows` rows of `sounds` sequences; each with errors of its own from run to run, or shared.
Plan plan_of(std::size_t sounds, std::size_t rows, bool each_run) {
    std::mt19937 random(6);
    Plan plan{.title = "invented"};
    plan.catalogue.protectors.push_back(
        {test::random_protector(random, "plug", ProtectorType::PremouldedPlug)});
    for (std::size_t n = 0; n < sounds; ++n) {
        plan.sequences.push_back(test::random_sequence(random, "sequence-" + std::to_string(n)));
        SoundLevels& levels = plan.sequences.back().levels;
        if (each_run) {
            levels.uncertainty_parts = {.instrument = LevelDifference(0.7),
                                        .position = LevelDifference(1.0),
                                        .run = LevelDifference(0.5)};
        }
    }
    for (std::size_t n = 0; n < rows; ++n)
        plan.timeline.push_back({.sequence = n % sounds, .duration = Seconds(60.0)});
    plan.people.push_back(test::participant({"plug"}));
    plan.people.front().policy.rules.method = Method::Octave;
    std::erase_if(plan.people.front().policy.criteria,
                  [](const Criterion& criterion) { return criterion.id != "eu-limit"; });
    return plan;
}

/// All errors of every row drawn and every band put through the protector, with nothing clever.
double plain_loop(const Plan& plan, std::size_t draws) {
    std::mt19937_64 random(1);
    std::normal_distribution<double> normal;
    const OctaveAttenuation& plug = *plan.catalogue.protectors.front().protector.octave;
    std::size_t over = 0;
    for (std::size_t draw = 0; draw < draws; ++draw) {
        const double instrument = 0.7 * normal(random);
        const double position = normal(random);
        const double z = normal(random);
        double energy = 0.0;
        for (const TimelineRow& row : plan.timeline) {
            const double error = instrument + position + 0.5 * normal(random);
            const OctaveLevelsZ& octave = plan.sequences[*row.sequence].levels.octave;
            for (const OctaveBand band : octave_bands) {
                if (!plug.has(band) || !octave.has(band)) continue;
                const double reduction = plug.mean(band).dB() + z * plug.deviation(band).dB();
                const double level = octave.at(band)->dB() + error - reduction;
                energy += row.duration.count() * std::pow(10.0, 0.1 * level);
            }
        }
        if (10.0 * std::log10(energy / 28800.0) > 87.0) ++over;
    }
    return static_cast<double>(over);
}

double judged(const Plan& plan, const ExposureDay& day, const DrawSettings& settings) {
    const Person& person = plan.people.front();
    const MonteCarloDay drawn(plan, person, day, settings);
    return drawn.judge().front().probability_over;
}

}  // namespace

int main() {
    volatile double sink = 0.0;
    const Plan large = plan_of(30, 30, true);
    const ExposureDay large_day = day_exposure(large, large.people.front());
    const double plain =
        benchmark::median_seconds(runs, [&] { sink = plain_loop(large, plain_draws); }) *
        static_cast<double>(million) / static_cast<double>(plain_draws);
    std::printf("Drawing: 30 segments by 8 bands, errors anew from run to run, median of %d\n",
                runs);
    std::printf("  plain loop with std::pow, scaled from %zu draws   %8.3f s\n", plain_draws,
                plain);
    for (const unsigned threads : {1U, 2U}) {
        const double taken = benchmark::median_seconds(runs, [&] {
            sink = judged(large, large_day, {.draws = million, .seed = 1, .threads = threads});
        });
        std::printf("  a million draws, %u thread%s (limit 1 s on two)   %8.3f s, 1/%.0f of it\n",
                    threads, threads == 1 ? " " : "s", taken, plain / taken);
    }
    const Plan usual = plan_of(20, 200, false);
    const ExposureDay usual_day = day_exposure(usual, usual.people.front());
    const double one =
        benchmark::median_seconds(runs, [&] { sink = judged(usual, usual_day, {}); });
    std::printf("  20 sounds, 200 rows, shared errors, the default draws  %6.2f ms (limit 1 ms)\n",
                1e3 * one);
    return 0;
}
