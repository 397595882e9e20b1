#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
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
    std::string name;  ///< one word, or that of a group and its own: "session start"
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

/// Commands whose names begin with one word: "session" of "session start".
struct GroupDescription {
    std::string name;
    std::string text;
    std::string example = {};
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
    PredictOptions predict;
    ResponseOptions response;
    DeskOptions desk;
    RegisterOptions of_register;
    SessionOptions of_session;
};

struct ProgramDescription {
    std::string version;
    CommandDescription program;
    std::vector<GroupDescription> groups;
    std::vector<CommandDescription> commands;
    std::unique_ptr<CommandOptions> told;  ///< that the targets lie in

    /// None for a name that is none.
    [[nodiscard]] const CommandDescription* find(const std::string& command) const;
    [[nodiscard]] const GroupDescription* find_group(const std::string& name) const;
    /// "measure", "assess", …, "session", as help lists them: of a group its own name.
    [[nodiscard]] std::vector<std::string> names_of_commands() const;
    /// "start", "wear", …: what may follow a group's name.
    [[nodiscard]] std::vector<std::string> names_in_group(const std::string& group) const;
    /// The words with the two of a command of a group as one.
    [[nodiscard]] std::vector<const char*> with_whole_name(
        std::span<const char* const> words) const;
};

[[nodiscard]] OptionDescription help_option();

/// The group of a command; empty for one of a single word.
[[nodiscard]] inline std::string group_of(const std::string& command) {
    const std::size_t space = command.find(' ');
    return space == std::string::npos ? std::string() : command.substr(0, space);
}

/// A command's name behind its group's.
[[nodiscard]] inline std::string name_in_group(const std::string& command) {
    return command.substr(command.find(' ') + 1);
}

/// The rows of every group of commands.
[[nodiscard]] std::vector<GroupDescription> group_rows();

/// The rows of every command, whose values go into `told`.
[[nodiscard]] std::vector<CommandDescription> command_rows(CommandOptions& told);

/// Every command with its options.
[[nodiscard]] ProgramDescription describe_program();

}  // namespace earbudget::cli
