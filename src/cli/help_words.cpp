#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "cli/parse_command_line.hpp"
#include "files/ids.hpp"
#include "files/toml_tree.hpp"
#include "files/written_values.hpp"

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
std::string help_for(const ProgramDescription& program, std::vector<std::string> asked) {
    std::erase_if(asked, [](const std::string& word) { return word == "--help" || word == "-h"; });
    if (asked.size() > 1 && program.find(asked[0] + " " + asked[1])) {
        asked[0] += " " + asked[1];
        asked.erase(asked.begin() + 1);
    }
    if (asked.size() > 1) {
        throw UsageProblem(
            fmt::format("earbudget help: \"{}\" is a word too many; accepted: earbudget help "
                        "COMMAND, with one of {}",
                        asked[1], fmt::join(program.names_of_commands(), ", ")));
    }
    if (asked.empty() || asked[0] == "help") return help_of(program);
    if (program.find(asked[0]) || program.find_group(asked[0])) return help_of(program, asked[0]);
    refuse_help_for(asked[0], program.names_of_commands());
}

}  // namespace

std::optional<std::string> help_asked_for(const ProgramDescription& program,
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

bool is_recording(const std::string& path) {
    std::string begin(16, '\0');
    std::ifstream stream(path, std::ios::binary);
    stream.read(begin.data(), static_cast<std::streamsize>(begin.size()));
    begin.resize(static_cast<std::size_t>(stream.gcount()));
    const auto format = files::foreign_format_of(begin);
    return format && format->what == files::name_of_recordings;
}

constexpr std::string_view name_of_plan = "plan.toml";

/// A command and the words behind it as they are typed into a shell, "earbudget" before them.
std::string typed(std::span<const std::string> words) {
    std::string line = "earbudget " + words.front();
    for (const std::string& word : words.subspan(1))
        line += " " + files::as_typed(word);
    return line;
}

/// The command that takes what lies at a path, by what it holds: "assess" for a plan and a folder
/// with one. None for what no command takes, and where nothing is.
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

/// "; type: earbudget assess plan.toml"; empty for words that would be refused.
std::string to_type(const std::vector<std::string>& words) {
    return is_accepted(words) ? "; type: " + typed(words) : "";
}

}  // namespace

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

std::string typed_with(const CommandDescription& command, std::span<const char* const> words,
                       const std::string& wrong, const std::string& right) {
    std::vector<std::string> all = {command.name};
    for (const std::string word : words) {
        const std::string name = word.substr(0, word.find('='));
        all.push_back(name == wrong ? right + word.substr(name.size()) : word);
    }
    return to_type(all);
}

std::vector<std::string> short_usage(const ProgramDescription& program) {
    constexpr std::size_t room = 30;
    std::vector<std::string> lines;
    for (const std::string& name : program.names_of_commands()) {
        const GroupDescription* group = program.find_group(name);
        const CommandDescription* command = group ? nullptr : program.find(name);
        lines.push_back(fmt::format(
            "  {:<{}} {}",
            fmt::format("earbudget {} {}", name, group ? "COMMAND" : command->operand()), room,
            group ? group->text : command->text));
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
