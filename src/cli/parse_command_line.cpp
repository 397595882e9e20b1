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
#include "cli/messages.hpp"
#include "cli/option_values.hpp"
#include "cli/output_format.hpp"
#include "cli/typed_instead.hpp"
#include "files/nearest_name.hpp"

namespace earbudget::cli {

namespace {

std::string nearest_words(const std::string& word, const std::vector<std::string>& names) {
    const auto nearest = files::nearest_name(word, names);
    return nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "";
}

std::vector<std::string> names_of_commands(const CLI::App& program) {
    std::vector<std::string> names;
    for (const CLI::App* command : program.get_subcommands(nullptr))
        names.push_back(command->get_name());
    return names;
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

/// "; type: earbudget assess plan.toml", with the first word put right: a command for what it names
/// where it is a file, else the nearest of `names`. Empty where there is none.
std::string to_type(std::span<const char* const> words, const std::vector<std::string>& names) {
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
    return "; type: " + typed(right);
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
                                       nearest_words(word, names), to_type(words, names),
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
    std::string usage = "earbudget " + command.get_name();
    for (const CLI::Option* option : command.get_options()) {
        if (option->get_positional()) usage += " " + option->get_option_text();
    }
    return usage;
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
    if (dynamic_cast<const CLI::ConversionError*>(&error) != nullptr) {
        const std::size_t equals = message.find(" = ");
        if (equals == std::string::npos) return message;
        const std::string value = message.substr(equals + 3);
        return fmt::format("{} is \"{}\"{}", name_of(option), value, why_no_number(value));
    }
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) == nullptr) return message;
    if (message.ends_with(" missing")) return name_of(option) + " has no value";
    if (message.find("At Most 1") != std::string::npos) {
        return name_of(option) + " is given more than once";
    }
    return message;
}

/// The command line with one option put right.
std::string typed_with(const CLI::App& command, std::span<const char* const> words,
                       const std::string& wrong, const std::string& right) {
    std::vector<std::string> all = {command.get_name()};
    for (const std::string word : words) {
        const std::string name = word.substr(0, word.find('='));
        all.push_back(name == wrong ? right + word.substr(name.size()) : word);
    }
    return typed(all);
}

/// What is wrong with the words behind a command, and what is accepted.
std::string problem_of(const CLI::App& command, const CLI::ParseError& error,
                       std::span<const char* const> words) {
    const std::string unknown = unknown_option(command, words);
    const auto known = names_of_options(command);
    if (!unknown.empty()) {
        // Of one letter every other is as near.
        const auto nearest =
            unknown.size() > 2 ? files::nearest_name(unknown, known) : std::nullopt;
        const std::string hint =
            nearest ? fmt::format(", the nearest known is \"{}\"; type: {}", *nearest,
                                  typed_with(command, words, unknown, *nearest))
                    : "";
        return fmt::format("unknown option \"{}\"{}; accepted: {}", unknown, hint,
                           fmt::join(known, ", "));
    }
    const std::string message = one_line(error.what());
    if (const CLI::Option* option = option_in(command, message)) {
        return fmt::format("{}; accepted: {}", problem_of_option(*option, error),
                           accepted_of(*option));
    }
    const bool takes_a_plan = usage_of(command).ends_with(" PLAN");
    const auto plan = takes_a_plan ? plan_here() : std::nullopt;
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
                                   problem_of(command, error, words.subspan(1))));
}

/// What the words of help ask for: "help", "help COMMAND" and "COMMAND help", unless that is the
/// name of a file. None for anything else. Throws UsageProblem for a command that is none.
std::optional<std::string> help_asked_for(const CLI::App& program,
                                          std::span<const char* const> words) {
    if (words.empty() || words.size() > 2) return std::nullopt;
    std::error_code ignored;
    std::vector<std::string> asked(words.begin(), words.end());
    const bool is_last =
        asked.size() == 2 && asked[1] == "help" && !std::filesystem::exists("help", ignored);
    if (asked.front() != "help" && !is_last) return std::nullopt;
    if (asked.size() == 1) return program.help();
    if (asked.front() != "help") std::swap(asked[0], asked[1]);
    const auto commands = names_of_commands(program);
    for (const CLI::App* command : program.get_subcommands(nullptr))
        if (command->get_name() == asked[1]) return command->help(program.get_name());
    if (asked[1] == "help") return program.help();
    const auto nearest = files::nearest_name(asked[1], commands);
    throw UsageProblem(fmt::format(
        "earbudget help: unknown command \"{}\"{}; accepted: {}", asked[1],
        nearest ? fmt::format(", the nearest known is \"{0}\"; type: earbudget help {0}", *nearest)
                : "",
        fmt::join(commands, ", ")));
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

}  // namespace

CommandLine parse_command_line(int count, const char* const* arguments) {
    CommandOptions options;
    const auto program = command_line(options);
    const std::span<const char* const> all(arguments, static_cast<std::size_t>(count));
    const auto words = all.subspan(std::min<std::size_t>(1, all.size()));
    if (auto help = help_asked_for(*program, words)) return Information{*std::move(help)};
    for (const CLI::App* command : program->get_subcommands(nullptr)) {
        if (!words.empty() && command->get_name() == words.front())
            check_option_values(*command, words.subspan(1));
    }
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
    return options_of(command.get_name(), options);
}

}  // namespace earbudget::cli
