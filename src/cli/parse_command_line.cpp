#include "cli/parse_command_line.hpp"

#include <algorithm>
#include <span>
#include <sstream>
#include <stdexcept>
#include <string_view>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/command_line.hpp"
#include "cli/messages.hpp"
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
void refuse_first_word(const CLI::App& program, const std::string& word) {
    const auto commands = names_of_commands(program);
    if (is_among(word, commands)) return;
    const auto known = names_of_options(program);
    if (!word.starts_with("-")) {
        auto names = commands;  // "help" and "version" are near to options
        names.insert(names.end(), known.begin(), known.end());
        throw UsageProblem(fmt::format("earbudget: unknown command \"{}\"{}; accepted: {}", word,
                                       nearest_words(word, names), fmt::join(commands, ", ")));
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

std::string name_of(const CLI::Option& option) { return "--" + option.get_lnames().front(); }

bool takes_a_value(const CLI::Option& option) { return option.get_items_expected_min() > 0; }

/// "--format FORMAT: text, json or html".
std::string accepted_of(const CLI::Option& option) {
    return fmt::format("{} {}: {}", name_of(option),
                       takes_a_value(option) ? option.get_option_text() : "without a value",
                       option.get_description());
}

/// What is wrong with an option, in this program's words where the parser's are its own.
std::string problem_of_option(const CLI::Option& option, const CLI::ParseError& error) {
    const std::string message = one_line(error.what());
    if (dynamic_cast<const CLI::ConversionError*>(&error) != nullptr) {
        const std::size_t equals = message.find(" = ");
        if (equals == std::string::npos) return message;
        return fmt::format("{} is \"{}\"", name_of(option), message.substr(equals + 3));
    }
    if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) == nullptr) return message;
    if (message.ends_with(" missing")) return name_of(option) + " has no value";
    if (message.find("At Most 1") != std::string::npos) {
        return name_of(option) + " is given more than once";
    }
    return message;
}

/// What is wrong with the words behind a command, and what is accepted.
std::string problem_of(const CLI::App& command, const CLI::ParseError& error,
                       std::span<const char* const> words) {
    const std::string unknown = unknown_option(command, words);
    const auto known = names_of_options(command);
    if (!unknown.empty()) {
        // Of one letter every other is as near.
        const std::string nearest = unknown.size() > 2 ? nearest_words(unknown, known) : "";
        return fmt::format("unknown option \"{}\"{}; accepted: {}", unknown, nearest,
                           fmt::join(known, ", "));
    }
    const std::string message = one_line(error.what());
    if (const CLI::Option* option = option_in(command, message)) {
        return fmt::format("{}; accepted: {}", problem_of_option(*option, error),
                           accepted_of(*option));
    }
    return fmt::format("{}; accepted: {}, and options as earbudget {} --help lists them", message,
                       usage_of(command), command.get_name());
}

[[noreturn]] void refuse(const CLI::App& program, const CLI::ParseError& error,
                         std::span<const char* const> words) {
    if (!words.empty()) refuse_first_word(program, words.front());
    const auto chosen = program.get_subcommands();
    if (chosen.empty()) {
        throw UsageProblem(fmt::format("earbudget: {}; accepted: {}", one_line(error.what()),
                                       fmt::join(names_of_commands(program), ", ")));
    }
    const CLI::App& command = *chosen.front();
    throw UsageProblem(fmt::format("earbudget {}: {}", command.get_name(),
                                   problem_of(command, error, words.subspan(1))));
}

/// The parser takes any word after an option for its value, another option too: --output --force
/// would write a file of that name.
void refuse_option_as_value(const CLI::App& program, std::span<const char* const> words) {
    if (words.empty()) return;
    for (const CLI::App* command : program.get_subcommands(nullptr)) {
        if (command->get_name() != words.front()) continue;
        const auto known = names_of_options(*command);
        for (std::size_t i = 1; i + 1 < words.size(); ++i) {
            const std::string word = words[i];
            if (word == "--") return;
            if (!word.starts_with("--")) continue;
            const CLI::Option* option = command->get_option_no_throw(word);
            const std::string next = words[i + 1];
            if (option == nullptr || !takes_a_value(*option)) continue;
            if (!is_among(next.substr(0, next.find('=')), known)) continue;
            throw UsageProblem(fmt::format("earbudget {}: {} has no value; accepted: {}",
                                           command->get_name(), word, accepted_of(*option)));
        }
    }
}

CommandLine options_of(const std::string& command, const CommandOptions& options) {
    if (command == "measure") return options.measure;
    if (command == "ratings") return options.ratings;
    if (command == "choose") return options.choose;
    if (command == "review") return options.review;
    if (command == "assess") return options.assess;
    throw std::logic_error("no options are known for the command " + command);
}

}  // namespace

CommandLine parse_command_line(int count, const char* const* arguments) {
    CommandOptions options;
    const auto program = command_line(options);
    const std::span<const char* const> all(arguments, static_cast<std::size_t>(count));
    const auto words = all.subspan(std::min<std::size_t>(1, all.size()));
    refuse_option_as_value(*program, words);
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
    return options_of(program->get_subcommands().front()->get_name(), options);
}

}  // namespace earbudget::cli
