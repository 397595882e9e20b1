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

/// A word on a number that is written as others write it; empty for anything else.
[[nodiscard]] std::string why_no_number(const std::string& value);

/// Refuses, before anything is parsed, an option that is without its value because another option
/// follows, an empty value, and for an option that takes a number what is not wholly a decimal
/// number that fits. `words` are those behind the command. Throws UsageProblem.
void check_option_values(const CLI::App& command, std::span<const char* const> words);

/// Has the options of a command that take a decimal number read "-0" as 0.
void take_minus_zero_for_zero(CLI::App& command);

}  // namespace earbudget::cli
