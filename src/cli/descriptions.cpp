#include <algorithm>

#include <fmt/format.h>

#include "cli/command_table.hpp"
#include "report/record.hpp"

namespace earbudget::cli {

namespace {

/// What each command's help ends with: an example that works on the demo, and the exit status. Each
/// line of an example that does not end in a backslash is a command.
struct Example {
    std::string_view command;
    std::string_view lines;
    std::string_view status;
};

constexpr std::string_view session_status =
    R"(0 recorded, 2 bad input, nothing was recorded, 3 a fault of the program or the machine.
)";

constexpr Example examples[] = {
    {"earbudget",
     R"(  earbudget measure recordings/epi-2mm.flac --calibration recordings/calibrator.flac \
      --calibrator-level 114
  earbudget assess sequences/saltmarsh/plan.toml

earbudget help COMMAND tells the options of each command, with an example of its own.
)",
     R"(0 computed, nobody over a limit, 1 computed, somebody over a limit or not decidable,
2 bad input, 3 a fault of the program or the machine.
)"},
    {"measure",
     R"(  earbudget measure recordings/epi-2mm.flac --calibration recordings/calibrator.flac \
      --calibrator-level 114 --background recordings/background.flac --card epi-2mm.toml
)",
     R"(0 measured, 1 there is no level: the calibration is no tone or drifted, a file holds
more than its header announces, silence, or out of range (with --card 2), 2 bad input, 3 a fault
of the program or the machine.
)"},
    {"assess",
     R"(  earbudget assess sequences/saltmarsh/plan.toml
)",
     R"(0 nobody over a limit, 1 somebody over a limit or not decidable, 2 bad input,
3 a fault of the program or the machine.
)"},
    {"choose",
     R"(  earbudget choose sequences/saltmarsh/plan.toml
)",
     R"(0 everybody has something that keeps every exposure limit, 1 somebody has not, cannot
be decided or hears a peak above its limit, 2 bad input, 3 a fault of the program or the machine.
)"},
    {"ratings",
     R"(  earbudget ratings sequences/saltmarsh/protectors.toml
)",
     R"(0 nothing stated is more than 2 dB from what is computed, 1 something is,
2 bad input, 3 a fault of the program or the machine.
)"},
    {"review",
     R"(  earbudget review sequences/saltmarsh/cards/epi-2mm.toml \
      --protectors sequences/saltmarsh/protectors.toml
)",
     R"(0 for every card the peak limits are kept and something permits the time of --at-least
by every criterion, 1 for some card not, or it cannot be decided, 2 bad input, 3 a fault of the
program or the machine.
)"},
    {"cards",
     R"(  earbudget cards sequences/saltmarsh
)",
     R"(0 listed, 2 bad input, 3 a fault of the program or the machine.
)"},
    {"register",
     R"(  earbudget register create unit.register --time-zone Europe/Berlin
  earbudget register totals unit.register
)",
     R"(0 done, and of totals nobody over a limit, 1 of totals somebody over a limit or not
decidable, of verify something was changed, 2 bad input, nothing was written, 3 a fault of the program or
the machine.
)"},
    {"register create",
     R"(  earbudget register create unit.register --time-zone Europe/Berlin --retention-days 730
)",
     R"(0 made, 2 bad input, nothing was written, 3 a fault of the program or the machine.
)"},
    {"register verify",
     R"(  earbudget register verify unit.register
)",
     R"(0 nothing was changed, 1 something was, and which entry, 2 bad input, 3 a fault of the
program or the machine.
)"},
    {"register totals",
     R"(  earbudget register totals unit.register --role staff --from 2026-11-01 --to 2026-11-30
)",
     R"(0 nobody over a limit, 1 somebody over a limit or not decidable, 2 bad input, 3 a fault
of the program or the machine.
)"},
    {"register report",
     R"(  earbudget register report unit.register --staff-month 2026-11 --output november.html
)",
     R"(0 nobody over a limit, 1 somebody over a limit or not decidable, 2 bad input, 3 a fault
of the program or the machine.
)"},
    {"register link",
     R"(  earbudget register link unit.register P-0417 S-0012
)",
     R"(0 recorded, 2 bad input, nothing was recorded, 3 a fault of the program or the machine.
)"},
    {"register backup",
     R"(  earbudget register backup unit.register unit-2026-11-29.register
)",
     R"(0 copied, 2 bad input, nothing was written, 3 a fault of the program or the machine.
)"},
    {"register export",
     R"(  earbudget register export unit.register --as P-0417 --output copy.json
)",
     R"(0 written, 2 bad input, nothing was written, 3 a fault of the program or the machine.
)"},
    {"register erase",
     R"(  earbudget register erase unit.register --as P-0417 --confirm P-0417
)",
     R"(0 erased, 2 bad input or not confirmed, nothing was erased, 3 a fault of the program or
the machine.
)"},
    {"register import",
     R"(  earbudget register import unit.register --table past.csv --plan sequences/saltmarsh/plan.toml
)",
     R"(0 recorded, 2 bad input, nothing was recorded, 3 a fault of the program or the machine.
)"},
    {"register due",
     R"(  earbudget register due unit.register
)",
     R"(0 listed, 2 bad input, 3 a fault of the program or the machine.
)"},
    {"session",
     R"(  earbudget register create sessions.register --time-zone Europe/Berlin
  earbudget session start sequences/saltmarsh/plan.toml --register sessions.register \
      --person pilot-a --as P-0417 --by S-0003
  earbudget session wear formable --register sessions.register
  earbudget session checked both --register sessions.register
  earbudget session run epi-2mm --for "12 min" --register sessions.register
  earbudget session next --register sessions.register
)",
     R"(0 done, and of next and show nobody over a limit, 1 of next and show somebody over a limit,
stopped or not decidable, 2 bad input, nothing was recorded, 3 a fault of the program or the machine.
)"},
    {"session start",
     R"(  earbudget session start sequences/saltmarsh/plan.toml --register sessions.register \
      --person pilot-b --as P-0418 --present companion=A-0007 --by S-0003
)",
     session_status},
    {"session wear",
     R"(  earbudget session wear formable --register sessions.register
)",
     session_status},
    {"session checked",
     R"(  earbudget session checked both --how "looked, and asked" --register sessions.register
)",
     session_status},
    {"session run",
     R"(  earbudget session run gre-3d --for "6 min" --register sessions.register
)",
     session_status},
    {"session event",
     R"(  earbudget session event plug-loose --note "the left one" --register sessions.register
)",
     session_status},
    {"session end",
     R"(  earbudget session end --register sessions.register
)",
     session_status},
    {"session correct",
     R"(  earbudget session correct 4 --for "30 s" --why "broken off" --register sessions.register
)",
     session_status},
    {"session next",
     R"(  earbudget session next --register sessions.register
)",
     R"(0 what was heard is within every limit, 1 somebody is over a limit, stopped or not
decidable, 2 bad input, 3 a fault of the program or the machine.
)"},
    {"session show",
     R"(  earbudget session show --register sessions.register
)",
     R"(0 what was heard is within every limit, 1 somebody is over a limit or not decidable,
2 bad input, 3 a fault of the program or the machine.
)"},
    {"response",
     R"(  earbudget response --waveform x.seq --recording x.wav --waveform y.seq --recording y.wav \
    --waveform z.seq --recording z.wav --full-scale-level 130 --output response.toml
)",
     R"(0 written, 2 bad input, nothing was written, 3 a fault of the program or the machine.
)"},
    {"predict",
     R"(  earbudget predict sequences/saltmarsh/waveforms/epi-2mm.seq --repeat 100
)",
     R"(0 computed, 1 the response tells no level, 2 bad input, 3 a fault of the program or
the machine.
)"},
    {"new",
     R"(  earbudget new my-study
)",
     R"(0 written, 2 bad input, nothing was written, 3 a fault of the program or the machine.
)"},
    {"desk",
     R"(  earbudget desk sequences/saltmarsh
)",
     R"(0 interrupted, 2 bad input, 3 a fault of the program or the machine.
)"},
};

std::string example_of(std::string_view command) {
    const auto* example = std::ranges::find(examples, command, &Example::command);
    return fmt::format(
        "\nExample, in the folder of the source or the installed share/earbudget/demo:\n{}\nExit "
        "status: {}",
        example->lines, example->status);
}

}  // namespace

OptionDescription help_option() {
    return {.names = {"--help", "-h"}, .text = "Print this help message and exit"};
}

bool is_among(const std::string& name, const std::vector<std::string>& names) {
    return std::ranges::find(names, name) != names.end();
}

bool OptionDescription::has_name(const std::string& wanted) const {
    return is_among(wanted, names);
}

std::string OptionDescription::accepted() const {
    return fmt::format("{} {}: {}", name(), takes_a_value() ? value : "without a value", text);
}

OptionDescription& OptionDescription::within(const files::NumberRange& numbers) {
    range = numbers;
    text += fmt::format(", from {:g} to {:g}{}{}", numbers.lowest, numbers.highest,
                        numbers.unit.empty() ? "" : " ", numbers.unit);
    return *this;
}

OptionDescription& OptionDescription::offering(std::vector<std::string> values) {
    choices = std::move(values);
    return *this;
}

OptionDescription& OptionDescription::only(std::vector<std::string> values) {
    fits = [values](const std::string& one) { return is_among(one, values); };
    return offering(std::move(values));
}

OptionDescription& OptionDescription::stating_default() {
    left_out = std::visit(
        [](const auto* told) -> std::string {
            using Value = std::remove_cvref_t<decltype(*told)>;
            if constexpr (fmt::is_formattable<Value>::value) return fmt::format("{}", *told);
            return "";
        },
        target);
    return *this;
}

const OptionDescription* CommandDescription::find(const std::string& wanted) const {
    for (const OptionDescription& option : options)
        if (option.has_name(wanted)) return &option;
    return nullptr;
}

std::string CommandDescription::operand() const {
    std::string all;
    for (const OptionDescription& one : operands)
        all += (all.empty() ? "" : " ") + one.value;
    return all;
}

std::vector<std::string> CommandDescription::names_of_options() const {
    std::vector<std::string> names;
    for (const OptionDescription& option : options)
        names.insert(names.end(), option.names.begin(), option.names.end());
    return names;
}

const CommandDescription* ProgramDescription::find(const std::string& command) const {
    const auto found = std::ranges::find(commands, command, &CommandDescription::name);
    return found == commands.end() ? nullptr : &*found;
}

const GroupDescription* ProgramDescription::find_group(const std::string& group) const {
    const auto found = std::ranges::find(groups, group, &GroupDescription::name);
    return found == groups.end() ? nullptr : &*found;
}

std::vector<std::string> ProgramDescription::names_of_commands() const {
    std::vector<std::string> names;
    for (const CommandDescription& command : commands) {
        const std::string group = group_of(command.name);
        const std::string& name = group.empty() ? command.name : group;
        if (!is_among(name, names)) names.push_back(name);
    }
    return names;
}

std::vector<std::string> ProgramDescription::names_in_group(const std::string& group) const {
    std::vector<std::string> names;
    for (const CommandDescription& command : commands)
        if (!group.empty() && group_of(command.name) == group)
            names.push_back(name_in_group(command.name));
    return names;
}

std::vector<const char*> ProgramDescription::with_whole_name(
    std::span<const char* const> words) const {
    std::vector<const char*> all(words.begin(), words.end());
    if (all.size() < 2) return all;
    const CommandDescription* command = find(fmt::format("{} {}", all[0], all[1]));
    if (!command) return all;
    all.erase(all.begin());
    all.front() = command->name.c_str();
    return all;
}

ProgramDescription describe_program() {
    auto told = std::make_unique<CommandOptions>();
    CommandDescription program{
        .name = "earbudget",
        .text =
            "How much noise people in and around an MRI scanner are exposed to, and which ear "
            "protection makes a planned session keep the limits.",
        .example = example_of("earbudget"),
        .options = {
            help_option(),
            {.names = {"--version"}, .text = "Display program version information and exit"}}};
    auto groups = group_rows();
    for (GroupDescription& group : groups)
        group.example = example_of(group.name);
    auto commands = command_rows(*told);
    for (CommandDescription& command : commands)
        command.example = example_of(command.name);
    return {.version = std::string(report::program_version()),
            .program = std::move(program),
            .groups = std::move(groups),
            .commands = std::move(commands),
            .told = std::move(told)};
}

}  // namespace earbudget::cli
