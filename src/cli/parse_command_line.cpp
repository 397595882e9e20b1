#include "cli/parse_command_line.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <span>
#include <sstream>
#include <stdexcept>
#include <string_view>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/command_line.hpp"
#include "cli/deliver.hpp"
#include "cli/help_words.hpp"
#include "cli/messages.hpp"
#include "cli/option_values.hpp"
#include "files/ids.hpp"

namespace earbudget::cli {

namespace {

/// What `earbudget-collect --options` prints in the place of options that it refused.
constexpr std::string_view refused_by_collect = "--options-refused";

/// Whether a command line can be understood.
bool is_accepted(const std::vector<std::string>& words);

std::string nearest_words(const std::string& word, const std::vector<std::string>& names) {
    const auto nearest = files::nearest_name(word, names);
    return nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "";
}

/// As they are written: --format, -h.
std::vector<std::string> names_of_options(const CLI::App& command) {
    std::vector<std::string> names;
    for (const CLI::Option* option : command.get_options()) {
        for (const std::string& name : option->get_lnames())
            names.push_back("--" + name);
        for (const std::string& name : option->get_snames())
            names.push_back("-" + name);
    }
    return names;
}

/// "; type: earbudget assess plan.toml"; empty for words that would be refused.
std::string to_type(const std::vector<std::string>& words) {
    return is_accepted(words) ? "; type: " + typed(words) : "";
}

/// The words with the first put right: a command for what it names where it is a file, else the
/// nearest of `names`. Empty where there is none.
std::string to_type_instead(std::span<const char* const> words,
                            const std::vector<std::string>& names) {
    std::vector<std::string> right(words.begin(), words.end());
    if (const auto command = command_taking(right.front())) {
        right.insert(right.begin(), *command);
        std::error_code ignored;
        if (std::filesystem::is_directory(right[1], ignored))
            right[1] = (std::filesystem::path(right[1]) / "plan.toml").string();
    } else if (const auto nearest = files::nearest_name(right.front(), names)) {
        right.front() = *nearest;
    } else {
        return "";
    }
    return to_type(right);
}

bool is_among(const std::string& word, const std::vector<std::string>& words) {
    return std::ranges::find(words, word) != words.end();
}

/// One dash and a figure is a negative value, one dash alone a file's name.
bool looks_like_an_option(const std::string& word) {
    constexpr std::string_view of_numbers = "0123456789.";
    return word.size() > 1 && word[0] == '-' && of_numbers.find(word[1]) == std::string_view::npos;
}

/// The first option that a command has not, without what follows its "="; empty for none.
std::string unknown_option(const CLI::App& command, std::span<const char* const> words) {
    const auto known = names_of_options(command);
    for (const std::string word : words) {
        if (word == "--") return "";
        const std::string name = word.substr(0, word.find('='));
        if (looks_like_an_option(name) && !is_among(name, known)) return name;
    }
    return "";
}

/// A word in the place of a command that is none, or an option of a command before it.
void refuse_first_word(const CLI::App& program, std::span<const char* const> words) {
    const std::string word = words.front();
    const auto commands = names_of_commands(program);
    if (is_among(word, commands)) return;
    const auto known = names_of_options(program);
    if (!word.starts_with("-")) {
        auto names = commands;
        names.emplace_back("help");
        names.insert(names.end(), known.begin(), known.end());  // "version" is near to one
        throw UsageProblem(fmt::format("earbudget: unknown command \"{}\"{}{}; accepted: {}", word,
                                       nearest_words(word, names), to_type_instead(words, names),
                                       fmt::join(commands, ", ")));
    }
    const std::string name = word.substr(0, word.find('='));
    if (is_among(name, known)) return;
    for (const CLI::App* command : program.get_subcommands(nullptr)) {
        if (is_among(name, names_of_options(*command))) {
            throw UsageProblem(
                fmt::format("earbudget: option \"{}\" stands before the command; accepted: "
                            "earbudget COMMAND {}, with a command of {}",
                            name, name, fmt::join(commands, ", ")));
        }
    }
    throw UsageProblem(fmt::format("earbudget: unknown option \"{}\"{}; accepted: {}", name,
                                   nearest_words(name, known), fmt::join(known, ", ")));
}

std::string one_line(std::string text) {
    std::ranges::replace(text, '\n', ' ');
    return text;
}

/// The command with what must follow it: "earbudget assess PLAN".
std::string usage_of(const CLI::App& command) {
    return fmt::format("earbudget {} {}", command.get_name(), operand_of(command));
}

/// The option that a message names as a word of its own; null for none.
const CLI::Option* option_in(const CLI::App& command, std::string message) {
    std::ranges::replace(message, ':', ' ');
    std::istringstream words(message);
    for (std::string word; words >> word;) {
        if (!word.starts_with("--")) continue;
        if (const CLI::Option* option = command.get_option_no_throw(word)) return option;
    }
    return nullptr;
}

/// What is wrong with an option, in this program's words where the parser's are its own.
std::string problem_of_option(const CLI::Option& option, const CLI::ParseError& error) {
    const std::string message = one_line(error.what());
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) == nullptr) return message;
    if (message.ends_with(" missing")) return name_of(option) + " has no value";
    if (message.find("At Most 1") != std::string::npos) {
        return name_of(option) + " is given more than once";
    }
    return message;
}

/// The command line with one option put right; empty where that would be refused as well.
std::string typed_with(const CLI::App& command, std::span<const char* const> words,
                       const std::string& wrong, const std::string& right) {
    std::vector<std::string> all = {command.get_name()};
    for (const std::string word : words) {
        const std::string name = word.substr(0, word.find('='));
        all.push_back(name == wrong ? right + word.substr(name.size()) : word);
    }
    return to_type(all);
}

/// The commands that have an option.
std::vector<std::string> commands_with(const CLI::App& program, const std::string& option) {
    std::vector<std::string> commands;
    for (const CLI::App* command : program.get_subcommands(nullptr))
        if (is_among(option, names_of_options(*command))) commands.push_back(command->get_name());
    return commands;
}

std::string problem_of_unknown(const CLI::App& program, const CLI::App& command,
                               const std::string& unknown, std::span<const char* const> words) {
    if (unknown == refused_by_collect) {
        return "earbudget-collect --options let nothing of a folder's measure.options through; "
               "accepted: what it says";
    }
    const auto known = names_of_options(command);
    std::string hint;
    if (const auto others = commands_with(program, unknown); !others.empty()) {
        hint = fmt::format(", which is of {}", fmt::join(others, ", "));
    } else if (unknown.size() > 2) {  // of one letter every other is as near
        if (const auto nearest = files::nearest_name(unknown, known))
            hint = fmt::format(", the nearest known is \"{}\"{}", *nearest,
                               typed_with(command, words, unknown, *nearest));
    }
    return fmt::format("unknown option \"{}\"{}; accepted: {}", unknown, hint,
                       fmt::join(known, ", "));
}

/// What is wrong with the words behind a command, and what is accepted.
std::string problem_of(const CLI::App& program, const CLI::App& command,
                       const CLI::ParseError& error, std::span<const char* const> words) {
    const std::string unknown = unknown_option(command, words);
    if (!unknown.empty()) return problem_of_unknown(program, command, unknown, words);
    const std::string message = one_line(error.what());
    if (const CLI::Option* option = option_in(command, message)) {
        return fmt::format("{}; accepted: {}", problem_of_option(*option, error),
                           accepted_of(*option));
    }
    const bool lacks_a_plan =
        operand_of(command) == "PLAN" && dynamic_cast<const CLI::RequiredError*>(&error) != nullptr;
    const auto plan = lacks_a_plan ? plan_here() : std::nullopt;
    return fmt::format(
        "{}; accepted: {}{}, and options as earbudget {} --help lists them", message,
        usage_of(command),
        plan ? fmt::format(" (here earbudget {} {})", command.get_name(), *plan) : "",
        command.get_name());
}

[[noreturn]] void refuse(const CLI::App& program, const CLI::ParseError& error,
                         std::span<const char* const> words) {
    if (words.empty()) {
        throw UsageProblem(fmt::format("earbudget: no command is named; accepted: {}, help",
                                       fmt::join(names_of_commands(program), ", ")),
                           short_usage(program));
    }
    refuse_first_word(program, words);
    const auto chosen = program.get_subcommands();
    if (chosen.empty()) {
        throw UsageProblem(fmt::format("earbudget: {}; accepted: {}", one_line(error.what()),
                                       fmt::join(names_of_commands(program), ", ")));
    }
    const CLI::App& command = *chosen.front();
    throw UsageProblem(fmt::format("earbudget {}: {}", command.get_name(),
                                   problem_of(program, command, error, words.subspan(1))));
}

CommandLine options_of(const std::string& command, const CommandOptions& options) {
    if (command == "measure") return options.measure;
    if (command == "ratings") return options.ratings;
    if (command == "choose") return options.choose;
    if (command == "review") return options.review;
    if (command == "assess") return options.assess;
    throw std::logic_error("no options are known for the command " + command);
}

OutputOptions& output_of(const std::string& command, CommandOptions& options) {
    if (command == "measure") return options.measure.output;
    if (command == "ratings") return options.ratings.output;
    if (command == "choose") return options.choose.output;
    if (command == "review") return options.review.output;
    return options.assess.output;
}

/// What can be said before the parser stops at its first mistake.
void check_values(CLI::App& program, std::span<const char* const> words) {
    if (words.empty()) return;
    const auto is_named = [&](CLI::App* command) { return command->get_name() == words.front(); };
    for (CLI::App* command : program.get_subcommands(is_named))
        check_option_values(*command, words.subspan(1));
}

bool is_accepted(const std::vector<std::string>& words) {
    CommandOptions options;
    const auto program = command_line(options);
    std::vector<const char*> arguments = {"earbudget"};
    for (const std::string& word : words)
        arguments.push_back(word.c_str());
    const auto behind_program = std::span<const char* const>(arguments).subspan(1);
    try {
        if (help_asked_for(*program, behind_program)) return true;
        check_values(*program, behind_program);
        program->parse(static_cast<int>(arguments.size()), arguments.data());
        const CLI::App& command = *program->get_subcommands().front();
        settle_format(command, output_of(command.get_name(), options));
        check_sheet(options.assess);
    } catch (const CLI::Success&) {
        return true;  // help and version
    } catch (const CLI::ParseError&) {
        return false;
    } catch (const UsageProblem&) {
        return false;
    }
    return true;
}

}  // namespace

CommandLine parse_command_line(int count, const char* const* arguments) {
    CommandOptions options;
    const auto program = command_line(options);
    const std::span<const char* const> all(arguments, static_cast<std::size_t>(count));
    const auto words = all.subspan(std::min<std::size_t>(1, all.size()));
    if (auto help = help_asked_for(*program, words)) return Information{*std::move(help)};
    check_values(*program, words);
    try {
        program->parse(count, arguments);
    } catch (const CLI::CallForVersion& version) {
        return Information{std::string(version.what()) + "\n"};
    } catch (const CLI::CallForHelp&) {
        const auto chosen = program->get_subcommands();
        return Information{chosen.empty() ? program->help()
                                          : chosen.front()->help(program->get_name())};
    } catch (const CLI::ParseError& error) {
        refuse(*program, error, words);
    }
    const CLI::App& command = *program->get_subcommands().front();
    settle_format(command, output_of(command.get_name(), options));
    check_sheet(options.assess);
    return options_of(command.get_name(), options);
}

}  // namespace earbudget::cli
