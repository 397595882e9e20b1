#pragma once

#include <string>
#include <variant>

#include "cli/options.hpp"

namespace earbudget::cli {

/// Text asked for instead of a command: help or version.
struct Information {
    std::string text;
};

using CommandLine = std::variant<MeasureOptions, AssessOptions, ChooseOptions, RatingsOptions,
                                 ReviewOptions, Information>;

/// Reads the command line. Throws UsageProblem where it cannot be understood.
[[nodiscard]] CommandLine parse_command_line(int count, const char* const* arguments);

}  // namespace earbudget::cli
