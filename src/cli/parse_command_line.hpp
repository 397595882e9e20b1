#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "cli/command_table.hpp"

namespace earbudget::cli {

/// Text asked for instead of a command: help or version.
struct Information {
    std::string text;
};

/// Reads the command line and runs the command that it names; a help or a version that is asked
/// for is printed. Throws UsageProblem where it cannot be understood, and what commands throw.
[[nodiscard]] ExitStatus run_command_line(int count, const char* const* arguments);

/// Whether a command line can be understood.
[[nodiscard]] bool is_accepted(const std::vector<std::string>& words);

/// Refuses, before anything is parsed, all that is wrong with the words behind a command by
/// themselves: an option that is without its value because another option follows, an empty value,
/// a value that does not fit its option, for an option that takes a number what is not wholly
/// a decimal number that fits and lies in its range, a value where none is taken, and an empty
/// operand. Throws UsageProblem with a line for each.
void check_option_values(const CommandDescription& command, std::span<const char* const> words);

/// Makes -0 among the numbers that were read 0.
void settle_numbers(const CommandDescription& command);

// What the library that parses does.

/// What it cannot make sense of.
struct NotParsed {
    std::string message;  ///< in its words, in one line
    const CommandDescription* command = nullptr;
    bool is_mismatch = false;                ///< an option with too few or too many values
    bool is_lacking = false;                 ///< an operand
    std::vector<std::string> too_many = {};  ///< words that nothing takes
};

/// Puts the words behind the program's name into what its options are told. The command that they
/// name, or what is asked for instead. Throws NotParsed.
[[nodiscard]] std::variant<const CommandDescription*, Information> parse_words(
    const ProgramDescription& program, std::span<const char* const> words);

/// The help of a command, or where none is named of the program.
[[nodiscard]] std::string help_of(const ProgramDescription& program,
                                  const std::string& command = "");

// What helps who types.

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
