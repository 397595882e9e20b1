#include "cli/typed_instead.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <utility>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/toml_mistake.hpp"

namespace earbudget::cli {

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
