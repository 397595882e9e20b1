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

}  // namespace earbudget::cli
