#pragma once

#include <string>
#include <vector>

#include <sys/resource.h>

namespace earbudget::benchmark {

using Command = std::vector<std::string>;  ///< the program's path, then its arguments

/// What a whole process took, from fork to its end.
struct Cost {
    double wall_s = 0.0;
    double CPU_s = 0.0;    ///< user and system time of all its threads
    double peak_MB = 0.0;  ///< largest resident memory, in 10^6 bytes
};

/// Runs a command, its standard output thrown away. Throws when it does not end with status 0.
[[nodiscard]] Cost cost_of(const Command& command);

/// User and system time, in seconds.
[[nodiscard]] double CPU_seconds(const rusage& used);

/// Makes SIGINT and SIGTERM end the benchmark by an exception, so that its large files go.
void end_in_order_when_interrupted();

/// Throws once a signal has come.
void throw_if_interrupted();

}  // namespace earbudget::benchmark
