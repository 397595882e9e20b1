#include "cli/parse_command_line.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <span>
#include <sstream>
#include <string_view>

#include <fmt/format.h>

#include "cli/steps.hpp"
#include "files/ids.hpp"
#include "files/output.hpp"

namespace earbudget::cli {

namespace {

/// What `earbudget-collect --options` prints in the place of options that it refused.
constexpr std::string_view refused_by_collect = "--options-refused";

/// One dash and a figure is a negative value, one dash alone a file's name.
bool looks_like_an_option(const std::string& word) {
    constexpr std::string_view of_numbers = "0123456789.";
    return word.size() > 1 && word[0] == '-' && of_numbers.find(word[1]) == std::string_view::npos;
}

/// The first option that a command has not, without what follows its "="; empty for none.
std::string unknown_option(const CommandDescription& command, std::span<const char* const> words) {
    const auto known = command.names_of_options();
    for (const std::string word : words) {
        if (word == "--") return "";
        const std::string name = word.substr(0, word.find('='));
        if (looks_like_an_option(name) && !is_among(name, known)) return name;
    }
    return "";
}

/// The commands that have an option.
std::vector<std::string> commands_with(const ProgramDescription& program,
                                       const std::string& option) {
    std::vector<std::string> commands;
    for (const CommandDescription& command : program.commands)
        if (command.find(option)) commands.push_back(command.name);
    return commands;
}

/// A group without one of its commands behind it.
void refuse_group(const ProgramDescription& program, const std::string& group,
                  std::span<const char* const> words) {
    const auto names = program.names_in_group(group);
    const std::string accepted = fmt::format("{}", fmt::join(names, ", "));
    const std::string word = words.size() < 2 ? "" : words[1];
    if (word.empty() || word.starts_with("-")) {
        throw UsageProblem(
            fmt::format("earbudget {0}: what to do is not named; accepted: earbudget {0} with one "
                        "of {1} behind it, and options as earbudget {0} {2} --help lists them",
                        group, accepted, names.front()));
    }
    throw UsageProblem(
        fmt::format("earbudget {0}: unknown command \"{0} {1}\"{2}; accepted: {0} "
                    "with one of {3}",
                    group, word, files::nearest_words(word, names), accepted));
}

/// A word in the place of a command that is none, or an option of a command before it.
void refuse_first_word(const ProgramDescription& program, std::span<const char* const> words) {
    const std::string word = words.front();
    const auto commands = program.names_of_commands();
    if (program.find_group(word)) refuse_group(program, word, words);
    if (is_among(word, commands) || program.find(word)) return;
    const auto known = program.program.names_of_options();
    if (!word.starts_with("-")) {
        auto names = commands;
        names.emplace_back("help");
        names.insert(names.end(), known.begin(), known.end());  // "version" is near to one
        throw UsageProblem(fmt::format("earbudget: unknown command \"{}\"{}{}; accepted: {}", word,
                                       files::nearest_words(word, names),
                                       to_type_instead(words, names), fmt::join(commands, ", ")));
    }
    const std::string name = word.substr(0, word.find('='));
    if (is_among(name, known)) return;
    if (!commands_with(program, name).empty()) {
        throw UsageProblem(
            fmt::format("earbudget: option \"{}\" stands before the command; accepted: earbudget "
                        "COMMAND {}, with a command of {}",
                        name, name, fmt::join(commands, ", ")));
    }
    throw UsageProblem(fmt::format("earbudget: unknown option \"{}\"{}; accepted: {}", name,
                                   files::nearest_words(name, known), fmt::join(known, ", ")));
}

/// The option that a message names as a word of its own; null for none.
const OptionDescription* option_in(const CommandDescription& command, std::string message) {
    std::ranges::replace(message, ':', ' ');
    std::istringstream words(message);
    for (std::string word; words >> word;) {
        if (!word.starts_with("--")) continue;
        if (const OptionDescription* option = command.find(word)) return option;
    }
    return nullptr;
}

/// What is wrong with an option, in this program's words where the parser's are its own.
std::string problem_of_option(const OptionDescription& option, const NotParsed& why) {
    if (!why.is_mismatch) return why.message;
    if (why.message.ends_with(" missing")) return option.name() + " has no value";
    const bool is_again = why.message.find("At Most 1") != std::string::npos;
    return is_again ? option.name() + " is given more than once" : why.message;
}

std::string problem_of_unknown(const ProgramDescription& program, const CommandDescription& command,
                               const std::string& unknown, std::span<const char* const> words) {
    if (unknown == refused_by_collect) {
        return "earbudget-collect --options let nothing of a folder's measure.options through; "
               "accepted: what it says";
    }
    const auto known = command.names_of_options();
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

bool takes_plans(const CommandDescription& command) {
    return command.operand() == "PLAN" || command.operand() == "PATH...";
}

/// What is wrong with the words behind a command, and what is accepted.
std::string problem_of(const ProgramDescription& program, const CommandDescription& command,
                       const NotParsed& why, std::span<const char* const> words) {
    const std::string unknown = unknown_option(command, words);
    if (!unknown.empty()) return problem_of_unknown(program, command, unknown, words);
    if (const OptionDescription* option = option_in(command, why.message))
        return fmt::format("{}; accepted: {}", problem_of_option(*option, why), option->accepted());
    const std::string problem =
        why.too_many.empty()
            ? why.message
            : fmt::format("\"{}\" {}", fmt::join(why.too_many, "\", \""),
                          why.too_many.size() == 1 ? "is one word too many" : "are words too many");
    const auto plan = why.is_lacking && takes_plans(command) ? plan_here() : std::nullopt;
    return fmt::format(
        "{}; accepted: earbudget {} {}{}, and options as earbudget {} --help lists them", problem,
        command.name, command.operand(),
        plan ? fmt::format(" (here earbudget {} {})", command.name, *plan) : "", command.name);
}

[[noreturn]] void refuse(const ProgramDescription& program, const NotParsed& why,
                         std::span<const char* const> words) {
    const std::string commands = fmt::format("{}", fmt::join(program.names_of_commands(), ", "));
    if (words.empty()) {
        throw UsageProblem(
            fmt::format("earbudget: no command is named; accepted: {}, help", commands),
            short_usage(program));
    }
    refuse_first_word(program, words);
    if (!why.command)
        throw UsageProblem(fmt::format("earbudget: {}; accepted: {}", why.message, commands));
    throw UsageProblem(fmt::format("earbudget {}: {}", why.command->name,
                                   problem_of(program, *why.command, why, words.subspan(1))));
}

/// The command that the words name, with what they tell it, or what is asked for instead. Throws
/// UsageProblem.
std::variant<const CommandDescription*, Information> parsed(const ProgramDescription& program,
                                                            std::span<const char* const> words) {
    if (auto help = help_asked_for(program, words)) return Information{*std::move(help)};
    // What can be said before the parser stops at its first mistake.
    const CommandDescription* named = words.empty() ? nullptr : program.find(words.front());
    if (named) check_option_values(*named, words.subspan(1));
    auto result = parse_words(program, words);
    if (const auto* command = std::get_if<const CommandDescription*>(&result)) {
        OutputOptions& output = *(*command)->output;
        output.working = output.working || !output.working_for.empty();
        settle_numbers(**command);
        settle_format(**command, output);
        check_sheet(program.told->assess);
        check_csv(**command, *program.told);
        check_many(program.told->assess);
        check_heard_before(program.told->assess);
    }
    return result;
}

}  // namespace

bool is_accepted(const std::vector<std::string>& words) {
    std::vector<const char*> arguments;
    for (const std::string& word : words)
        arguments.push_back(word.c_str());
    try {
        const ProgramDescription program = describe_program();
        static_cast<void>(parsed(program, program.with_whole_name(arguments)));
    } catch (const NotParsed&) {
        return false;
    } catch (const UsageProblem&) {
        return false;
    }
    return true;
}

ExitStatus run_command_line(int count, const char* const* arguments) {
    const ProgramDescription program = describe_program();
    const std::span<const char* const> all(arguments, static_cast<std::size_t>(count));
    const auto words = program.with_whole_name(all.subspan(std::min<std::size_t>(1, all.size())));
    try {
        const auto result = parsed(program, words);
        if (const auto* command = std::get_if<const CommandDescription*>(&result))
            return (*command)->run();
        files::write_standard_output(std::get<Information>(result).text);
    } catch (const NotParsed& why) {
        refuse(program, why, words);
    }
    return computed;
}

}  // namespace earbudget::cli
