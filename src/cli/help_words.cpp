#include "cli/help_words.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <system_error>
#include <utility>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/messages.hpp"
#include "files/ids.hpp"
#include "files/toml_mistake.hpp"

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

namespace {

/// A word that a POSIX shell reads as it stands, in single quotes where it must be.
std::string quoted(const std::string& word) {
    constexpr std::string_view plain =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:=,+@%";
    if (!word.empty() && word.find_first_not_of(plain) == std::string::npos) return word;
    std::string result = "'";
    for (const char c : word)
        result += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return result + "'";
}

bool is_recording(const std::string& path) {
    std::string begin(16, '\0');
    std::ifstream stream(path, std::ios::binary);
    stream.read(begin.data(), static_cast<std::streamsize>(begin.size()));
    begin.resize(static_cast<std::size_t>(stream.gcount()));
    const auto format = files::foreign_format_of(begin);
    return format && format->what == files::name_of_recordings;
}

constexpr std::string_view name_of_plan = "plan.toml";

}  // namespace

std::string typed(std::span<const std::string> words) {
    std::string line = "earbudget";
    for (const std::string& word : words)
        line += " " + quoted(word);
    return line;
}

std::optional<std::string> command_taking(const std::string& path) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) {
        const auto plan = std::filesystem::path(path) / name_of_plan;
        return std::filesystem::exists(plan, ignored) ? std::optional<std::string>("assess")
                                                      : std::nullopt;
    }
    if (!std::filesystem::is_regular_file(path, ignored)) return std::nullopt;
    if (is_recording(path)) return "measure";
    try {
        files::TextInputs inputs;
        const auto command =
            files::command_for_kind(files::kind_of(files::read_toml(path, inputs)));
        return command.empty() ? std::nullopt : std::optional<std::string>(command);
    } catch (const InputError&) {
        return std::nullopt;
    }
}

std::vector<std::string> short_usage(const CLI::App& program) {
    constexpr std::size_t room = 30;
    std::vector<std::string> lines;
    for (const CLI::App* command : program.get_subcommands(nullptr)) {
        std::string usage = "earbudget " + command->get_name();
        for (const CLI::Option* option : command->get_options())
            if (option->get_positional()) usage += " " + option->get_option_text();
        lines.push_back(fmt::format("  {:<{}} {}", usage, room, command->get_description()));
    }
    const auto plan = plan_here();
    lines.push_back(
        fmt::format("To begin, type: {}", plan ? "earbudget assess " + *plan : "earbudget help"));
    return lines;
}

std::optional<std::string> plan_here() {
    std::error_code ignored;
    if (std::filesystem::is_regular_file(name_of_plan, ignored)) return std::string(name_of_plan);
    return std::nullopt;
}

}  // namespace earbudget::cli
