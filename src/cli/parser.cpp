// The only source that includes the library that parses command lines, which takes long to compile.
#include <algorithm>

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

std::unique_ptr<CLI::App> app_of(const ProgramDescription& described) {
    auto program = std::make_unique<CLI::App>(described.program.text, described.program.name);
    program->set_version_flag("--version", "earbudget " + described.version);
    program->require_subcommand(1);
    program->footer(described.program.example);
    for (const CommandDescription& row : described.commands) {
        CLI::App* command = program->add_subcommand(row.name, row.text);
        for (const OptionDescription& operand : row.operands)
            add(*command, operand);
        for (const OptionDescription& option : row.options)
            if (!option.has_name("--help")) add(*command, option);
        command->footer(row.example);
    }
    return program;
}

std::string help_in(const CLI::App& program, const CLI::App& of) {
    return &of == &program ? program.help() : of.help(program.get_name());
}

const CLI::App& chosen_in(const CLI::App& program) {
    const auto chosen = program.get_subcommands();
    return chosen.empty() ? program : *chosen.front();
}

}  // namespace

std::string help_of(const ProgramDescription& program, const std::string& command) {
    const auto app = app_of(program);
    return help_in(*app, command.empty() ? *app : *app->get_subcommand(command));
}

std::variant<const CommandDescription*, Information> parse_words(
    const ProgramDescription& program, std::span<const char* const> words) {
    const auto app = app_of(program);
    std::vector<const char*> all = {program.program.name.c_str()};
    all.insert(all.end(), words.begin(), words.end());
    try {
        app->parse(static_cast<int>(all.size()), all.data());
    } catch (const CLI::CallForVersion& version) {
        return Information{std::string(version.what()) + "\n"};
    } catch (const CLI::CallForHelp&) {
        return Information{help_in(*app, chosen_in(*app))};
    } catch (const CLI::ParseError& error) {
        std::string message = error.what();
        std::ranges::replace(message, '\n', ' ');
        throw NotParsed{
            .message = std::move(message),
            .command = program.find(chosen_in(*app).get_name()),
            .is_mismatch = dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr,
            .is_lacking = dynamic_cast<const CLI::RequiredError*>(&error) != nullptr,
            .too_many = dynamic_cast<const CLI::ExtrasError*>(&error) ? app->remaining(true)
                                                                      : std::vector<std::string>()};
    }
    return program.find(chosen_in(*app).get_name());
}

}  // namespace earbudget::cli
