#pragma once

#include <string>
#include <vector>

#include "cli/command_table.hpp"

namespace earbudget::cli {

// Of what rows of the table of commands are made.

/// An option that takes a value, or with an empty placeholder none.
OptionDescription& add(std::vector<OptionDescription>& options, const char* name, const char* value,
                       std::string text, OptionTarget target);
OptionDescription& add_flag(std::vector<OptionDescription>& options, const char* name,
                            std::string text, bool& target);

/// A command with its first operand, which is required, and --help.
[[nodiscard]] CommandDescription command_of(const char* name, const char* text,
                                            OptionDescription operand, OutputOptions& output);

/// Format, file, date, and a working where there is one.
void add_output(CommandDescription& command, std::vector<std::string> formats,
                bool with_working = true);

/// Of what answers in short.
void add_detail(CommandDescription& command);

}  // namespace earbudget::cli
