#pragma once

#include <string>
#include <variant>

#include "cli/options.hpp"

namespace earbudget::cli {

/// Text asked for instead of a command: help or version.
struct Information {
    std::string text;
};

/// A command line that cannot be understood: one line that says why and what is accepted.
struct UsageError {
    std::string message;
};

using CommandLine = std::variant<MeasureOptions, AssessOptions, Information, UsageError>;

/// Reads the command line.
[[nodiscard]] CommandLine parse_command_line(int count, const char* const* arguments);

}  // namespace earbudget::cli
