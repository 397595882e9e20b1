#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/commands.hpp"
#include "files/keys.hpp"

namespace earbudget::cli {

// All that can be typed, once: the parser of the command line, its refusals, help, the manual page
// and the shells' completion are made from here.

/// Where the values of an option go, whose type tells what they may be.
using OptionTarget =
    std::variant<bool*, std::string*, std::optional<std::string>*, std::vector<std::string>*,
                 double*, std::optional<double>*, std::vector<double>*, unsigned*,
                 std::optional<unsigned>*, std::int64_t*>;

[[nodiscard]] bool is_among(const std::string& name, const std::vector<std::string>& names);

/// An option, or an operand.
struct OptionDescription {
    std::vector<std::string> names = {};  ///< as written, "--help" before "-h"; none: an operand
    std::string value = {};               ///< placeholder, "FILE"; empty where no value is taken
    std::string text = {};                ///< what it does
    OptionTarget target = {};
    std::optional<files::NumberRange> range = {};  ///< of a number
    std::vector<std::string> choices = {};         ///< values to offer; empty: too many
    /// Whether a value is accepted, as far as that is known before all options are read.
    std::function<bool(const std::string&)> fits = {};
    std::string left_out = {};  ///< value when left out; empty for none
    bool required = false;

    [[nodiscard]] bool has_name(const std::string& name) const;
    /// "--format".
    [[nodiscard]] const std::string& name() const { return names.front(); }
    [[nodiscard]] bool takes_a_value() const { return !value.empty(); }
    /// "--format FORMAT: text, json or html".
    [[nodiscard]] std::string accepted() const;

    // Rows of the table say by these what more there is to say.
    OptionDescription& within(const files::NumberRange& numbers);
    OptionDescription& offering(std::vector<std::string> values);
    OptionDescription& only(std::vector<std::string> values);
    OptionDescription& stating_default();
};

struct CommandDescription {
    std::string name;
    std::string text;
    std::string example = {};  ///< with the exit status, in lines
    std::vector<OptionDescription> operands = {};
    std::vector<OptionDescription> options = {};
    OutputOptions* output = nullptr;
    std::function<ExitStatus()> run = {};  ///< with what the targets hold

    /// None for a name that it has not.
    [[nodiscard]] const OptionDescription* find(const std::string& name) const;
    /// What follows its options: "PLAN", "RECORDING...".
    [[nodiscard]] std::string operand() const;
    /// As they are written: --format, --help, -h.
    [[nodiscard]] std::vector<std::string> names_of_options() const;
};

/// What each command was told; a command line that is parsed fills that of the one it names.
struct CommandOptions {
    MeasureOptions measure;
    AssessOptions assess;
    ChooseOptions choose;
    RatingsOptions ratings;
    ReviewOptions review;
    CardsOptions cards;
    NewOptions start;
};

struct ProgramDescription {
    std::string version;
    CommandDescription program;
    std::vector<CommandDescription> commands;
    std::unique_ptr<CommandOptions> told;  ///< that the targets lie in

    /// None for a name that is none.
    [[nodiscard]] const CommandDescription* find(const std::string& command) const;
    /// "measure", "assess", …, as help lists them.
    [[nodiscard]] std::vector<std::string> names_of_commands() const;
};

[[nodiscard]] OptionDescription help_option();

/// The rows of every command, whose values go into `told`.
[[nodiscard]] std::vector<CommandDescription> command_rows(CommandOptions& told);

/// Every command with its options.
[[nodiscard]] ProgramDescription describe_program();

}  // namespace earbudget::cli
