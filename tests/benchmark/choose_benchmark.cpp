// How long choosing takes: (person, protector, sequence) evaluations on one core, each held against
// the bare arithmetic of the octave-band method in the same run. Prints; a missed target is no
// failure.
#include <array>
#include <cmath>
#include <cstdio>
#include <random>
#include <vector>

#include "benchmark/median.hpp"
#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/judge.hpp"
#include "support/random_plan.hpp"

namespace {

using namespace earbudget;

constexpr std::size_t people = 50;
constexpr std::size_t protectors = 40;
constexpr std::size_t sequences = 50;
constexpr double evaluations = people * protectors * sequences;
constexpr int runs = 3;

Plan large_plan() {
    std::mt19937 random(4);
    Plan plan{.title = "invented"};
    for (std::size_t n = 0; n < protectors; ++n) {
        const auto id = "plug-" + std::to_string(n);
        plan.catalogue.protectors.push_back(
            {test::random_protector(random, id, ProtectorType::PremouldedPlug)});
    }
    for (std::size_t n = 0; n < sequences; ++n) {
        plan.sequences.push_back(test::random_sequence(random, "sequence-" + std::to_string(n)));
        plan.timeline.push_back({.sequence = n, .duration = Seconds(60.0)});
    }
    for (std::size_t n = 0; n < people; ++n) {
        plan.people.push_back(test::participant({"plug-0"}));
        plan.people.back().id += std::to_string(n);
        plan.people.back().policy.rules.method = Method::Octave;
    }
    return plan;
}

/// The same work for each person, none like another.
Plan with_people_unlike(Plan plan) {
    for (std::size_t n = 0; n < people; ++n)
        plan.people[n].visits = static_cast<unsigned>(n + 1);
    return plan;
}

/// Every protector for every person: the day at the ear by every criterion, best estimate.
double evaluate(const Plan& plan) {
    double sum = 0.0;
    for (const Person& person : plan.people) {
        for (const CatalogueEntry& entry : plan.catalogue.protectors) {
            const ExposureDay day = day_exposure(plan, person, {entry.protector.id}, Wearing{});
            for (const Criterion& criterion : person.policy.criteria)
                sum += judge_exposure(criterion, day).margin->dB();
        }
    }
    return sum;
}

/// Eight bands of each sequence through each protector, and nothing else.
double bare_arithmetic(const Plan& plan) {
    double sum = 0.0;
    for (std::size_t person = 0; person < people; ++person) {
        for (const CatalogueEntry& entry : plan.catalogue.protectors) {
            for (const Sequence& sequence : plan.sequences) {
                double energy = 0.0;
                for (const OctaveBand band : octave_bands) {
                    const auto& octave = *entry.protector.octave;
                    const auto level = sequence.levels.octave.at(band);
                    if (!octave.has(band) || !level) continue;
                    const double apv = octave.assumed_protection_value(band, 1.0).dB();
                    energy += std::pow(10.0, 0.1 * (level->dB() - apv));
                }
                sum += 10.0 * std::log10(energy);
            }
        }
    }
    return sum;
}

void print(const char* name, double seconds, double bare) {
    std::printf("  %-44s %7.3f s  %6.2f times the bare arithmetic\n", name, seconds,
                seconds / bare);
}

}  // namespace

int main() {
    const Plan plan = large_plan();
    volatile double sink = 0.0;
    const double bare = benchmark::median_seconds(runs, [&] { sink = bare_arithmetic(plan); });
    const double each = benchmark::median_seconds(runs, [&] { sink = evaluate(plan); });
    const auto chosen = [&](const Plan& from) {
        return benchmark::median_seconds(
            runs, [&] { sink = choose(from).front().ranking.front().worst_margin->dB(); });
    };
    const double alike = chosen(plan);
    const double unlike = chosen(with_people_unlike(plan));
    std::printf("Choosing: %.0f (person, protector, sequence), median of %d; choose on all cores\n",
                evaluations, runs);
    print("bare arithmetic of the octave-band method", bare, bare);
    print("day at the ear, every limit (limit 1 s)", each, bare);
    print("choose: draws, every method, a poor fit (1 s)", alike, bare);
    print("the same, no two people alike", unlike, bare);
    return 0;
}
