#pragma once

#include <span>
#include <string>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace earbudget::cli {

/// "--format".
[[nodiscard]] std::string name_of(const CLI::Option& option);

[[nodiscard]] bool takes_a_value(const CLI::Option& option);

/// "--format FORMAT: text, json or html".
[[nodiscard]] std::string accepted_of(const CLI::Option& option);

/// What follows the options of a command: "PLAN", "RECORDING...".
[[nodiscard]] std::string operand_of(const CLI::App& command);

/// Refuses, before anything is parsed, all that is wrong with the words behind a command by
/// themselves: an option that is without its value because another option follows, an empty value,
/// a value that a check of its option refuses, for an option that takes a number what is not wholly
/// a decimal number that fits, a value where none is taken, and an empty operand. Throws
/// UsageProblem with a line for each.
void check_option_values(CLI::App& command, std::span<const char* const> words);

}  // namespace earbudget::cli
