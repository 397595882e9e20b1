// The only source that includes the library that parses command lines, which takes long to compile.
#include <algorithm>
#include <sstream>

#include <CLI/CLI.hpp>

#include "cli/parse_command_line.hpp"
#include "files/written_values.hpp"

namespace earbudget::cli {

namespace {

template <class T>
constexpr bool is_list = false;
template <class T>
constexpr bool is_list<std::vector<T>> = true;

void add(CLI::App& command, const OptionDescription& row) {
    const auto add_to = [&](auto* target) -> CLI::Option* {
        using Target = std::remove_pointer_t<decltype(target)>;
        if constexpr (std::is_same_v<Target, bool>) {
            return command.add_flag(row.name(), *target, row.text);
        } else {
            const auto operand = files::in_small_letters(row.value.substr(0, row.value.find('.')));
            auto* option =
                command.add_option(row.names.empty() ? operand : row.name(), *target, row.text);
            option->option_text(row.value)->required(row.required);
            // One that may be given again, for the next channel, takes one value each time.
            if (is_list<Target> && !row.names.empty()) option->allow_extra_args(false);
            return option;
        }
    };
    std::visit(add_to, row.target);
}

/// What a command is added to: its group, which is made with its first, or the program.
CLI::App* place_of(const CommandDescription& row, const ProgramDescription& described,
                   CLI::App& program) {
    const std::string group = group_of(row.name);
    if (group.empty()) return &program;
    const auto known =
        program.get_subcommands([&](const CLI::App* one) { return one->get_name() == group; });
    if (!known.empty()) return known.front();
    const GroupDescription& description = *described.find_group(group);
    CLI::App* added = program.add_subcommand(description.name, description.text);
    added->require_subcommand(1);
    added->footer(description.example);
    return added;
}

std::unique_ptr<CLI::App> app_of(const ProgramDescription& described) {
    auto program = std::make_unique<CLI::App>(described.program.text, described.program.name);
    program->set_version_flag("--version", "earbudget " + described.version);
    program->require_subcommand(1);
    program->footer(described.program.example);
    for (const CommandDescription& row : described.commands) {
        CLI::App* command =
            place_of(row, described, *program)->add_subcommand(name_in_group(row.name), row.text);
        for (const OptionDescription& operand : row.operands)
            add(*command, operand);
        for (const OptionDescription& option : row.options)
            if (!option.has_name("--help")) add(*command, option);
        command->footer(row.example);
    }
    return program;
}

/// The names that lead to a command, without its own: "earbudget session" of "session start".
std::string before(const CLI::App& of) {
    const CLI::App* parent = of.get_parent();
    if (!parent) return "";
    const std::string above = before(*parent);
    return above.empty() ? parent->get_name() : above + " " + parent->get_name();
}

std::string help_in(const CLI::App& of) { return of.help(before(of)); }

const CLI::App& chosen_in(const CLI::App& program) {
    const auto chosen = program.get_subcommands();
    return chosen.empty() ? program : chosen_in(*chosen.front());
}

/// The command that a parsed one is; null for a group, and where none is named.
const CommandDescription* command_of(const ProgramDescription& program, const CLI::App& chosen) {
    const CLI::App* parent = chosen.get_parent();
    const bool is_in_group = parent && parent->get_parent();
    return program.find((is_in_group ? parent->get_name() + " " : "") + chosen.get_name());
}

}  // namespace

std::string help_of(const ProgramDescription& program, const std::string& command) {
    const auto app = app_of(program);
    const CLI::App* of = app.get();
    std::istringstream words(command);
    for (std::string word; words >> word;)
        of = of->get_subcommand(word);
    return help_in(*of);
}

std::variant<const CommandDescription*, Information> parse_words(
    const ProgramDescription& program, std::span<const char* const> words) {
    const auto app = app_of(program);
    std::vector<const char*> all = {program.program.name.c_str()};
    all.insert(all.end(), words.begin(), words.end());
    const std::string named = words.empty() ? "" : words.front();
    const std::string group = program.find(named) ? group_of(named) : "",
                      own = name_in_group(named);
    if (!group.empty()) {
        all[1] = own.c_str();
        all.insert(all.begin() + 1, group.c_str());
    }
    try {
        app->parse(static_cast<int>(all.size()), all.data());
    } catch (const CLI::CallForVersion& version) {
        return Information{std::string(version.what()) + "\n"};
    } catch (const CLI::CallForHelp&) {
        return Information{help_in(chosen_in(*app))};
    } catch (const CLI::ParseError& error) {
        std::string message = error.what();
        std::ranges::replace(message, '\n', ' ');
        throw NotParsed{
            .message = std::move(message),
            .command = command_of(program, chosen_in(*app)),
            .is_mismatch = dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr,
            .is_lacking = dynamic_cast<const CLI::RequiredError*>(&error) != nullptr,
            .too_many = dynamic_cast<const CLI::ExtrasError*>(&error) ? app->remaining(true)
                                                                      : std::vector<std::string>()};
    }
    return command_of(program, chosen_in(*app));
}

}  // namespace earbudget::cli
