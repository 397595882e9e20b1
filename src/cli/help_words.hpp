#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "cli/command_table.hpp"

namespace earbudget::cli {

/// What the words of help ask for: "help", "help COMMAND" and "COMMAND help", unless that is the
/// name of a file. None for anything else. Throws UsageProblem for a command that is none.
[[nodiscard]] std::optional<std::string> help_asked_for(const ProgramDescription& program,
                                                        std::span<const char* const> words);

// What is to be typed: "; type: earbudget assess plan.toml"; empty where that would be refused.

/// The words with the first put right: a command for what it names where it is a file, else the
/// nearest of `names`.
[[nodiscard]] std::string to_type_instead(std::span<const char* const> words,
                                          const std::vector<std::string>& names);

/// The words behind a command with one option put right.
[[nodiscard]] std::string typed_with(const CommandDescription& command,
                                     std::span<const char* const> words, const std::string& wrong,
                                     const std::string& right);

/// What is said where no command is named: lines with each command, and what to type first.
[[nodiscard]] std::vector<std::string> short_usage(const ProgramDescription& program);

/// The plan in the current folder, to be named as an example; none where there is none.
[[nodiscard]] std::optional<std::string> plan_here();

}  // namespace earbudget::cli
