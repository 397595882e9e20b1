#include "cli/help_words.hpp"

#include <filesystem>
#include <system_error>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/messages.hpp"
#include "files/ids.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse_help_for(const std::string& word,
                                  const std::vector<std::string>& commands) {
    const auto nearest = files::nearest_name(word, commands);
    throw UsageProblem(fmt::format(
        "earbudget help: unknown command \"{}\"{}; accepted: {}", word,
        nearest ? fmt::format(", the nearest known is \"{0}\"; type: earbudget help {0}", *nearest)
                : "",
        fmt::join(commands, ", ")));
}

/// "help", "help COMMAND"; --help and -h add nothing.
std::string help_for(const CLI::App& program, std::vector<std::string> asked) {
    std::erase_if(asked, [](const std::string& word) { return word == "--help" || word == "-h"; });
    if (asked.size() > 1) {
        throw UsageProblem(
            fmt::format("earbudget help: \"{}\" is a word too many; accepted: earbudget help "
                        "COMMAND, with one of {}",
                        asked[1], fmt::join(names_of_commands(program), ", ")));
    }
    if (asked.empty() || asked[0] == "help") return program.help();
    for (const CLI::App* command : program.get_subcommands(nullptr))
        if (command->get_name() == asked[0]) return command->help(program.get_name());
    refuse_help_for(asked[0], names_of_commands(program));
}

}  // namespace

std::vector<std::string> names_of_commands(const CLI::App& program) {
    std::vector<std::string> names;
    for (const CLI::App* command : program.get_subcommands(nullptr))
        names.push_back(command->get_name());
    return names;
}

std::optional<std::string> help_asked_for(const CLI::App& program,
                                          std::span<const char* const> words) {
    if (words.empty()) return std::nullopt;
    const std::vector<std::string> asked(words.begin(), words.end());
    if (asked.front() == "help") return help_for(program, {asked.begin() + 1, asked.end()});
    std::error_code ignored;
    const bool is_last =
        asked.size() == 2 && asked[1] == "help" && !std::filesystem::exists("help", ignored);
    return is_last ? std::optional(help_for(program, {asked[0]})) : std::nullopt;
}

}  // namespace earbudget::cli
