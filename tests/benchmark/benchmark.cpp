// How long `earbudget measure` takes and how much memory, each held against something else in the
// same run: ratios mean something on other machines too. Prints; a missed target is no failure.
#include <charconv>
#include <cstdint>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <unistd.h>

#include "benchmark/comparison.hpp"
#include "benchmark/other_work.hpp"
#include "benchmark/process.hpp"
#include "benchmark/recording.hpp"
#include "support/temporary_folder.hpp"

namespace {

using namespace earbudget::benchmark;
using earbudget::test::TemporaryFolder;

constexpr double memory_target_MB = 32.0;
constexpr double memory_of_64_channels_MB = 160.0;
constexpr Recording three_hours{.seconds = 3 * 3600};

struct Options {
    int runs = 7;
    bool three_hours = true;
    bool scipy = true;
};

std::optional<int> positive(std::string_view text) {
    int number = 0;
    const auto [end, error] = std::from_chars(text.begin(), text.end(), number);
    if (error != std::errc{} || end != text.end() || number < 1) return std::nullopt;
    return number;
}

std::optional<Options> parsed(int argc, char** argv) {
    Options options;
    for (int n = 1; n < argc; ++n) {
        const std::string_view word = argv[n];
        if (word == "--skip-three-hours") {
            options.three_hours = false;
        } else if (word == "--skip-scipy") {
            options.scipy = false;
        } else if (word == "--runs" && n + 1 < argc) {
            const std::optional<int> runs = positive(argv[++n]);
            if (!runs) return std::nullopt;
            options.runs = *runs;
        } else {
            return std::nullopt;
        }
    }
    return options;
}

Command measure(const std::vector<std::string>& files) {
    Command command{EARBUDGET_PROGRAM, "measure"};
    command.insert(command.end(), files.begin(), files.end());
    for (const char* word : {"--full-scale-level", "120", "--format", "json"}) {
        command.emplace_back(word);
    }
    return command;
}

bool scipy_is_there() {
    try {
        static_cast<void>(cost_of({EARBUDGET_PYTHON, "-c", "import scipy.signal"}));
        return true;
    } catch (const std::exception&) {
        throw_if_interrupted();
        return false;
    }
}

void print_conditions(int runs) {
    std::printf(
        "earbudget measure: recordings of 10 minutes, 48 kHz, 24 bits, in the page cache\n");
    std::printf("Whole processes, median of %d, A and B in turn; %ld processor(s)\n", runs,
                ::sysconf(_SC_NPROCESSORS_ONLN));
#ifndef NDEBUG
    std::printf("Not a Release build: these figures say nothing.\n");
#endif
    std::fflush(stdout);
}

// Returns the peak memory for 10 minutes, in MB.
double compare_times(const TemporaryFolder& folder, const Options& options) {
    const std::string mono = folder.path("mono.wav");
    const std::string other = folder.path("other.wav");
    const std::string stereo = folder.path("stereo.wav");
    write(mono, {.seed = 1});
    write(other, {.seed = 2});
    write(stereo, {.channels = 2, .seed = 3});

    using enum Target::Kind;
    print_heading();
    const double peak_MB = compare(
        {"measure / bare read", measure({mono}), {EARBUDGET_BARE_READ, mono}, {AtMost, 3.0}},
        options.runs);
    compare({"measure two files / one", measure({mono, other}), measure({mono}), {}}, options.runs);
    compare({"measure stereo / mono", measure({stereo}), measure({mono}), {}}, options.runs);
    if (!options.scipy) return peak_MB;
    if (scipy_is_there()) {
        compare({"plain SciPy script / measure",
                 {EARBUDGET_PYTHON, EARBUDGET_PLAIN_SCIPY, mono},
                 measure({mono}),
                 {AtLeast, 8.0}},
                options.runs);
    } else {
        std::printf("plain SciPy script: left out, %s has no SciPy\n", EARBUDGET_PYTHON);
    }
    return peak_MB;
}

void print_memory_of_three_hours(const TemporaryFolder& folder) {
    constexpr std::uintmax_t spare = 500'000'000;
    if (std::filesystem::space(folder.path("")).available < size_of(three_hours) + spare) {
        std::printf("measure, 3 hours: left out, too little space in the temporary folder\n");
        return;
    }
    const std::string path = folder.path("three-hours.wav");
    write(path, three_hours);
    print_memory("measure, 3 hours", cost_of(measure({path})).peak_MB, memory_target_MB);
}

void print_memory_of_many_channels(const TemporaryFolder& folder) {
    const std::string path = folder.path("64-channels.wav");
    write(path, {.seconds = 12, .channels = 64});
    print_memory("measure, 64 channels", cost_of(measure({path})).peak_MB,
                 memory_of_64_channels_MB);
}

void run(const Options& options) {
    print_conditions(options.runs);
    const TemporaryFolder folder;
    const OtherWork others;
    const double peak_MB = compare_times(folder, options);
    std::printf("Others kept %.2f processors busy meanwhile.\n", others.processors());
    std::printf("\nPeak resident memory\n");
    print_memory("measure, 10 minutes", peak_MB, memory_target_MB);
    print_memory_of_many_channels(folder);
    if (options.three_hours) print_memory_of_three_hours(folder);
}

}  // namespace

int main(int argc, char** argv) {
    const std::optional<Options> options = parsed(argc, argv);
    if (!options) {
        std::fprintf(stderr,
                     "usage: measure_benchmark [--runs N] [--skip-three-hours] [--skip-scipy]\n");
        return 2;
    }
    try {
        end_in_order_when_interrupted();
        run(*options);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "measure_benchmark: %s\n", error.what());
        return 1;
    }
    return 0;
}
