#include "guides/bash_completion.hpp"

#include <fmt/format.h>

#include "guides/words.hpp"

namespace earbudget::guides {

namespace {

constexpr std::string_view beginning = R"bash(# Completion of earbudget for bash.

_earbudget_lines() {
    COMPREPLY=()
    [[ -z $1 ]] || mapfile -t COMPREPLY <<< "$1"
}

_earbudget_words() { _earbudget_lines "$(compgen -W "$1" -- "$2")"; }

_earbudget_files() {
    compopt -o filenames 2>/dev/null
    _earbudget_lines "$(compgen -f -- "$1")"
}

_earbudget() {
    local current=${COMP_WORDS[COMP_CWORD]} option=${COMP_WORDS[COMP_CWORD-1]} command='' word
    # bash takes the sign of --format=json for a word of its own.
    if [[ $current == '=' ]]; then
        current=''
    elif [[ $option == '=' ]]; then
        option=${COMP_WORDS[COMP_CWORD-2]}
    fi
    COMPREPLY=()
)bash";

constexpr std::string_view ending = R"(}

complete -F _earbudget earbudget
)";

std::string words_of(const std::vector<cli::OptionDescription>& options) {
    std::string words;
    for (const auto& option : options) {
        for (const std::string& name : option.names)
            words += (words.empty() ? "" : " ") + name;
    }
    return words;
}

/// What follows an option that takes a value.
std::string value_case(const cli::CommandDescription& command,
                       const cli::OptionDescription& option) {
    std::string does = ":";  // free text or a number: nothing to offer
    if (!option.choices.empty()) {
        does = fmt::format("_earbudget_words '{}' \"$current\"", fmt::join(option.choices, " "));
    } else if (is_file(option)) {
        does = "_earbudget_files \"$current\"";
    }
    std::string patterns;
    for (const std::string& name : option.names)
        patterns += (patterns.empty() ? "" : "|") + command.name + ":" + name;
    return fmt::format("        {}) {}; return ;;\n", patterns, does);
}

std::string command_names(const cli::ProgramDescription& description, std::string_view between) {
    std::vector<std::string_view> names;
    for (const auto& command : description.commands)
        names.emplace_back(command.name);
    return fmt::format("{}", fmt::join(names, between));
}

std::string find_command(const cli::ProgramDescription& description) {
    return fmt::format(
        "    for word in \"${{COMP_WORDS[@]:1:COMP_CWORD-1}}\"; do\n"
        "        case $word in {}) command=$word; break ;; esac\n"
        "    done\n",
        command_names(description, "|"));
}

std::string value_cases(const cli::ProgramDescription& description) {
    std::string text = "    case $command:$option in\n";
    for (const auto& command : description.commands) {
        for (const auto& option : command.options) {
            if (!option.value.empty()) text += value_case(command, option);
        }
    }
    return text + "    esac\n";
}

std::string name_cases(const cli::ProgramDescription& description) {
    std::string text = fmt::format(
        "    case $command:$current in\n"
        "        :*) _earbudget_words '{} {}' \"$current\" ;;\n",
        command_names(description, " "), words_of(description.program.options));
    for (const auto& command : description.commands) {
        text += fmt::format("        {}:-*) _earbudget_words '{}' \"$current\" ;;\n", command.name,
                            words_of(command.options));
    }
    return text + "        *) _earbudget_files \"$current\" ;;\n    esac\n";
}

}  // namespace

std::string bash_completion(const cli::ProgramDescription& description) {
    return std::string(beginning) + find_command(description) + value_cases(description) +
           name_cases(description) + std::string(ending);
}

}  // namespace earbudget::guides
