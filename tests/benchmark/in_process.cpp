// Times of the library itself, in seconds, of which the program refuses some as too much work.
// in_process plain_loop, million_one_thread, million_two_threads, default_draws, random_plans,
// choose_unlike or assess_unlike_worn.
#include <chrono>
#include <cmath>
#include <cstdio>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/advice/assess.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"
#include "support/random_plan.hpp"

namespace {

using namespace earbudget;

/// Of the ten thousand random plans of the target; what is printed is scaled to all.
constexpr std::size_t all_plans = 10'000, sampled_plans = 400;
constexpr std::size_t million = 1'000'000, plain_draws = 20'000;

volatile double sink = 0.0;

template <class Work>
double seconds_of(const Work& work) {
    const auto start = std::chrono::steady_clock::now();
    sink = work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// `rows` rows of `sounds` sequences; each with errors of its own from run to run, or shared.
Plan plan_of(std::size_t sounds, std::size_t rows, bool each_run) {
    std::mt19937 random(6);
    Plan plan{.title = "invented"};
    plan.catalogue.protectors.push_back(
        {test::random_protector(random, "plug", ProtectorType::PremouldedPlug)});
    for (std::size_t n = 0; n < sounds; ++n) {
        plan.sequences.push_back(test::random_sequence(random, "sequence-" + std::to_string(n)));
        if (!each_run) continue;
        plan.sequences.back().levels.uncertainty_parts = {.instrument = LevelDifference(0.7),
                                                          .position = LevelDifference(1.0),
                                                          .run = LevelDifference(0.5)};
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
double plain_loop(const Plan& plan) {
    std::mt19937_64 random(1);
    std::normal_distribution<double> normal;
    const OctaveAttenuation& plug = *plan.catalogue.protectors.front().protector.octave;
    double over = 0;
    for (std::size_t draw = 0; draw < plain_draws; ++draw) {
        const double shared = 0.7 * normal(random) + normal(random);
        const double z = normal(random);
        double energy = 0.0;
        for (const TimelineRow& row : plan.timeline) {
            const double error = shared + 0.5 * normal(random);
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
    return over;
}

double judged(const Plan& plan, const ExposureDay& day, const DrawSettings& settings) {
    const MonteCarloDay drawn(plan, plan.people.front(), day, settings);
    return drawn.judge().front().probability_over;
}

double seconds_of_draws(std::string_view name) {
    const bool usual = name == "default_draws";
    const Plan plan = usual ? plan_of(20, 200, false) : plan_of(30, 30, true);
    if (name == "plain_loop") {
        constexpr double scale = static_cast<double>(million) / static_cast<double>(plain_draws);
        return scale * seconds_of([&] { return plain_loop(plan); });
    }
    DrawSettings settings;
    if (!usual) settings = {.draws = million, .threads = name == "million_two_threads" ? 2U : 1U};
    const ExposureDay day = day_exposure(plan, plan.people.front());
    return seconds_of([&] { return judged(plan, day, settings); });
}

double seconds_of_random_plans() {
    std::mt19937 random(5);
    std::vector<Plan> plans;
    for (std::size_t n = 0; n < sampled_plans; ++n) {
        plans.push_back(test::random_plan(random));
        plans.back().draws = {};  // as many as the program draws
    }
    constexpr double scale = static_cast<double>(all_plans) / static_cast<double>(sampled_plans);
    return scale * seconds_of([&] {
               double over = 0;
               for (const Plan& plan : plans)
                   over += assess(plan).verdict() == Verdict::Over ? 1 : 0;
               return over;
           });
}

/// 50 people of whom no two are alike.
Plan plan_of_many(std::size_t protectors, std::size_t sounds, std::size_t rows) {
    std::mt19937 random(4);
    Plan plan{.title = "invented"};
    for (std::size_t n = 0; n < protectors; ++n) {
        plan.catalogue.protectors.push_back({test::random_protector(
            random, "plug-" + std::to_string(n), ProtectorType::PremouldedPlug)});
    }
    for (std::size_t n = 0; n < sounds; ++n)
        plan.sequences.push_back(test::random_sequence(random, "sequence-" + std::to_string(n)));
    for (std::size_t n = 0; n < rows; ++n)
        plan.timeline.push_back({.sequence = n % sounds, .duration = Seconds(60.0)});
    for (unsigned n = 0; n < 50; ++n) {
        plan.people.push_back(test::participant({"plug-0"}));
        plan.people.back().id += std::to_string(n);
        plan.people.back().policy.rules.method = Method::Octave;
        plan.people.back().visits = n + 1;
    }
    return plan;
}

double seconds_of_choosing() {
    const Plan plan = plan_of_many(40, 50, 50);
    return seconds_of([&] { return choose(plan).front().ranking.front().worst_margin->dB(); });
}

double seconds_of_assessing_worn() {
    Plan plan = plan_of_many(1, 20, 200);
    for (Sequence& sequence : plan.sequences)
        sequence.levels = sequence.levels.shifted(LevelDifference(-20.0));  // within every limit
    for (TimelineRow& row : plan.timeline)
        row.duration = Seconds(30.0);
    for (Person& person : plan.people) {
        person.wearing.fraction_of_time = 0.9;
        person.fit_uncertainty = LevelDifference(3.0);
    }
    return seconds_of([&] { return static_cast<double>(assess(plan).verdict()); });
}

double seconds_of_named(std::string_view name) {
    if (name == "random_plans") return seconds_of_random_plans();
    if (name == "choose_unlike") return seconds_of_choosing();
    if (name == "assess_unlike_worn") return seconds_of_assessing_worn();
    return seconds_of_draws(name);
}

}  // namespace

int main(int count, char** arguments) {
    std::printf("%.6f\n", seconds_of_named(count == 2 ? arguments[1] : ""));
    return 0;
}
