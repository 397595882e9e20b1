#pragma once

#include <string>

#include "benchmark/process.hpp"

namespace earbudget::benchmark {

/// What a figure should be.
struct Target {
    enum class Kind { None, AtMost, AtLeast };
    Kind kind = Kind::None;
    double value = 0.0;
};

/// Two commands, and what the wall time of the first, divided by that of the second, should be.
struct Comparison {
    const char* name;
    Command a;
    Command b;
    Target target;
};

/// Prints the heads of the columns that `compare` fills.
void print_heading();

/// Runs both commands in turn, after one run of each that does not count, and prints the medians.
/// Returns the largest peak memory of the first command, in MB.
double compare(const Comparison& comparison, int runs);

/// Prints peak memory, in MB, against what it may be.
void print_memory(const char* name, double peak_MB, double at_most_MB);

}  // namespace earbudget::benchmark
