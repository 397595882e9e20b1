#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace earbudget::cli {

/// "measure", "assess", …, as help lists them.
[[nodiscard]] std::vector<std::string> names_of_commands(const CLI::App& program);

/// What the words of help ask for: "help", "help COMMAND" and "COMMAND help", unless that is the
/// name of a file. None for anything else. Throws UsageProblem for a command that is none.
[[nodiscard]] std::optional<std::string> help_asked_for(const CLI::App& program,
                                                        std::span<const char* const> words);

/// The words of a command line as they are typed into a shell, "earbudget" before them.
[[nodiscard]] std::string typed(std::span<const std::string> words);

/// The command that takes what lies at a path, by what it holds: "assess" for a plan and a folder
/// with one. None for what no command takes, and where nothing is.
[[nodiscard]] std::optional<std::string> command_taking(const std::string& path);

/// What is said where no command is named: lines with each command, and what to type first.
[[nodiscard]] std::vector<std::string> short_usage(const CLI::App& program);

/// The plan in the current folder, to be named as an example; none where there is none.
[[nodiscard]] std::optional<std::string> plan_here();

}  // namespace earbudget::cli
