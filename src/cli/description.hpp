#pragma once

#include <string>
#include <vector>

namespace earbudget::cli {

/// An option or an operand, as help states it.
struct OptionDescription {
    std::vector<std::string> names;    ///< as written, "--help" before "-h"; empty for an operand
    std::string value;                 ///< placeholder, "FILE"; empty where no value is taken
    std::string text;                  ///< what it does
    std::string left_out;              ///< value when left out; empty for none
    std::vector<std::string> choices;  ///< values to offer; empty where there are too many
    bool required = false;
};

struct CommandDescription {
    std::string name;
    std::string text;
    std::string example;  ///< with the exit status, in lines
    std::vector<OptionDescription> operands;
    std::vector<OptionDescription> options;
};

/// All that can be typed, from which the manual page and the shells' completion are made.
struct ProgramDescription {
    std::string version;
    CommandDescription program;
    std::vector<CommandDescription> commands;
};

[[nodiscard]] ProgramDescription describe_program();

}  // namespace earbudget::cli
