// How long assessing takes: many small plans in one process, and one large plan as a whole process,
// held against reading the same plan only. Prints; a missed target is no failure.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <fstream>
#include <random>
#include <string>
#include <vector>

#include "benchmark/median.hpp"
#include "benchmark/process.hpp"
#include "earbudget/advice/assess.hpp"
#include "support/random_plan.hpp"
#include "support/temporary_folder.hpp"

namespace {

using namespace earbudget;

constexpr int plans = 10000;
constexpr int runs = 15;

void time_small_plans() {
    std::mt19937 random(5);
    std::vector<Plan> all;
    for (int n = 0; n < plans; ++n)
        all.push_back(test::random_plan(random));
    for (Plan& plan : all)
        plan.draws = {};  // as many as the program draws
    const auto start = std::chrono::steady_clock::now();
    std::size_t over = 0;
    for (const Plan& plan : all)
        over += assess(plan).verdict() == Verdict::Over ? 1 : 0;
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    std::printf(
        "%d random plans of five rows in one process, one core: %.2f s (limit 5 s), %zu over\n",
        plans, taken.count(), over);
}

void write(const std::string& path, const std::string& text) { std::ofstream(path) << text; }

/// 50 people and 200 rows of 20 sequences; people of three kinds, or none like another.
std::string write_large_plan(const test::TemporaryFolder& folder, bool unlike) {
    std::mt19937 random(6);
    std::filesystem::create_directory(folder.path("cards"));
    for (int n = 0; n < 20; ++n) {
        Sequence sequence = test::random_sequence(random, "s" + std::to_string(n));
        sequence.levels = sequence.levels.shifted(LevelDifference(-20.0));  // within every limit
        std::string card = "kind = \"sequence\"\nformat = 1\nid = \"" + sequence.id +
                           "\"\n[levels]\nLAeq = " + std::to_string(sequence.levels.LAeq.dB()) +
                           "\nLCpeak = " + std::to_string(sequence.levels.LCpeak->dB()) +
                           "\nuncertainty = 1.5\n[levels.octave]\n";
        for (const OctaveBand band : octave_bands) {
            const auto level = sequence.levels.octave.at(band);
            if (!level) continue;
            card +=
                "\"" + std::string(name_of(band)) + "\" = " + std::to_string(level->dB()) + "\n";
        }
        write(folder.path("cards/" + sequence.id + ".toml"), card);
    }
    std::string plan = "kind = \"plan\"\nformat = 1\nsequences = \"cards\"\nprotectors = \"" +
                       std::string(EARBUDGET_CATALOGUE) + "\"\n[policy]\nmethod = \"octave\"\n" +
                       "[background]\nLAeq = 60\nuncertainty = 1.0\n";
    for (int n = 0; n < 200; ++n) {
        plan += n % 5 == 0 ? "[[timeline]]\nrest = \"20 s\"\n"
                           : "[[timeline]]\nsequence = \"s" + std::to_string(n % 20) +
                                 "\"\nduration = \"20 s\"\nrepeat = 2\n";
    }
    for (int n = 0; n < 50; ++n) {
        const char* worn[] = {"formable", "flanged-small", "muff-slim"};
        plan += "[[person]]\nid = \"p" + std::to_string(n) +
                "\"\nrole = \"participant\"\nwears = [\"" + worn[n % 3] + "\"]\n" +
                (unlike ? "visits = " + std::to_string(n + 1) + "\n" : "");
    }
    write(folder.path("plan.toml"), plan);
    return folder.path("plan.toml");
}

double median_seconds(const benchmark::Command& command) {
    std::vector<double> seconds;
    for (int run = 0; run < runs; ++run)
        seconds.push_back(benchmark::cost_of(command).wall_s);
    return benchmark::median(std::move(seconds));
}

void time_large_plan() {
    const double start = median_seconds({EARBUDGET_PROGRAM, "--version"});
    for (const bool unlike : {false, true}) {
        const test::TemporaryFolder folder;
        const std::string plan = write_large_plan(folder, unlike);
        const double whole = median_seconds({EARBUDGET_PROGRAM, "assess", plan});
        std::printf(
            "50 people %s, 200 rows, whole process, median of %d: %.0f ms (limit 50 ms), %.1f "
            "times the program's start alone\n",
            unlike ? "none alike" : "of three kinds", runs, 1000.0 * whole, whole / start);
    }
}

}  // namespace

int main() {
    try {
        time_small_plans();
        time_large_plan();
    } catch (const std::exception& error) {
        std::fprintf(stderr, "assess_benchmark: %s\n", error.what());
        return 1;
    }
    return 0;
}
