#include <fmt/format.h>

#include "guides/guides.hpp"

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

/// Whether an option's value names a file.
bool is_file(const cli::OptionDescription& option) {
    for (const char* word : {"FILE", "CARD", "PLAN", "PATH"}) {
        if (option.value.starts_with(word)) return true;
    }
    return false;
}

/// A command's name as a word of a shell; that of a group's has a space.
std::string as_word(const std::string& command) {
    return cli::group_of(command).empty() ? command : "'" + command + "'";
}

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
        patterns += (patterns.empty() ? "" : "|") + as_word(command.name) + ":" + name;
    return fmt::format("        {}) {}; return ;;\n", patterns, does);
}

std::string command_names(const cli::ProgramDescription& description, std::string_view between) {
    return fmt::format("{}", fmt::join(description.names_of_commands(), between));
}

std::string find_command(const cli::ProgramDescription& description) {
    std::string of_groups;
    for (const auto& group : description.groups)
        of_groups +=
            fmt::format("            {0}:{1}) command=\"{0} $word\" ;;\n", group.name,
                        fmt::join(description.names_in_group(group.name), "|" + group.name + ":"));
    return fmt::format(
        "    for word in \"${{COMP_WORDS[@]:1:COMP_CWORD-1}}\"; do\n"
        "        case $command:$word in\n"
        "            :{}) command=$word ;;\n{}"
        "        esac\n"
        "    done\n",
        command_names(description, "|:"), of_groups);
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
    for (const auto& group : description.groups) {
        text += fmt::format("        {}:*) _earbudget_words '{}' \"$current\" ;;\n", group.name,
                            fmt::join(description.names_in_group(group.name), " "));
    }
    for (const auto& command : description.commands) {
        text += fmt::format("        {}:-*) _earbudget_words '{}' \"$current\" ;;\n",
                            as_word(command.name), words_of(command.options));
    }
    return text + "        *) _earbudget_files \"$current\" ;;\n    esac\n";
}

}  // namespace

std::string bash_completion(const cli::ProgramDescription& description) {
    return std::string(beginning) + find_command(description) + value_cases(description) +
           name_cases(description) + std::string(ending);
}

namespace {

std::string replaced(std::string text, const std::string& old, const std::string& fresh) {
    for (std::size_t at = text.find(old); at != std::string::npos;
         at = text.find(old, at + fresh.size()))
        text.replace(at, old.size(), fresh);
    return text;
}

/// As a word in single quotes of zsh.
std::string in_zsh(const std::string& text) { return "'" + replaced(text, "'", "'\\''") + "'"; }

/// As a word in single quotes of fish.
std::string in_fish(const std::string& text) {
    return "'" + replaced(replaced(text, "\\", "\\\\"), "'", "\\'") + "'";
}

/// What _arguments does for a value: its name and what completes it.
std::string zsh_value(const cli::OptionDescription& option) {
    if (option.value.empty()) return "";
    std::string action;
    if (!option.choices.empty()) action = fmt::format("({})", fmt::join(option.choices, " "));
    if (option.choices.empty() && is_file(option)) action = "_files";
    return ":" + replaced(option.value, ":", "\\:") + ":" + action;
}

std::string zsh_options(const std::vector<cli::OptionDescription>& options) {
    std::string text;
    for (const auto& option : options) {
        std::string what = option.text;
        for (const char* special : {"\\", ":", "[", "]"})
            what = replaced(what, special, std::string("\\") + special);
        // _arguments takes --name=value and --name value where the name ends in "=".
        for (const std::string& name : option.names) {
            const bool takes_equals = !option.value.empty() && name.starts_with("--");
            text += " \\\n                " + in_zsh("*" + name + (takes_equals ? "=" : "") + "[" +
                                                     what + "]" + zsh_value(option));
        }
    }
    return text;
}

std::string fish_option(const std::string& condition, const cli::OptionDescription& option) {
    std::string text = "complete -c earbudget -n " + in_fish(condition);
    for (const std::string& name : option.names)
        text += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    if (!option.choices.empty()) {
        text += " -x -a " + in_fish(fmt::format("{}", fmt::join(option.choices, " ")));
    } else if (!option.value.empty()) {
        text += is_file(option) ? " -r -F" : " -x";
    }
    return text + " -d " + in_fish(option.text) + "\n";
}

}  // namespace

namespace {

/// The text of a command or a group by its name.
const std::string& text_of_name(const cli::ProgramDescription& description,
                                const std::string& name) {
    const auto* group = description.find_group(name);
    return group ? group->text : description.find(name)->text;
}

/// For _describe: each name with its text.
std::string zsh_names(const cli::ProgramDescription& description, const std::string& group) {
    std::string text;
    for (const std::string& name :
         group.empty() ? description.names_of_commands() : description.names_in_group(group)) {
        const std::string whole = group.empty() ? name : group + " " + name;
        text += "        " +
                in_zsh(name + ":" + replaced(text_of_name(description, whole), ":", "\\:")) + "\n";
    }
    return text;
}

/// A group's second word is completed, or becomes part of the command's name.
std::string zsh_groups(const cli::ProgramDescription& description) {
    std::string text;
    for (const auto& group : description.groups) {
        text += "            if [[ $name == " + group.name +
                " ]]; then\n            if (( CURRENT == 2 )); then\n        commands=(\n" +
                zsh_names(description, group.name) +
                "        )\n                _describe command commands\n"
                "                return\n            fi\n"
                "            name=\"$name $words[2]\"\n            shift words\n"
                "            (( CURRENT-- ))\n            fi\n";
    }
    return text;
}

/// When fish completes what follows a command.
std::string fish_condition(const std::string& command) {
    const std::string group = cli::group_of(command), seen = "__fish_seen_subcommand_from ";
    return group.empty() ? seen + command
                         : seen + group + "; and " + seen + cli::name_in_group(command);
}

std::string fish_groups(const cli::ProgramDescription& description) {
    std::string text;
    for (const auto& group : description.groups) {
        const auto names = description.names_in_group(group.name);
        for (const std::string& name : names) {
            text += fmt::format(
                "complete -c earbudget -n '__fish_seen_subcommand_from {}; and not "
                "__fish_seen_subcommand_from {}' -f -a {} -d {}\n",
                group.name, fmt::join(names, " "), name,
                in_fish(text_of_name(description, group.name + " " + name)));
        }
    }
    return text;
}

}  // namespace

std::string zsh_completion(const cli::ProgramDescription& description) {
    std::string text =
        "#compdef earbudget\n\n_earbudget() {\n    local -a commands\n    commands=(\n" +
        zsh_names(description, "");
    text += "    )\n    local context state line name\n    _arguments -C" +
            zsh_options(description.program.options) +
            " \\\n                '1:command:->command' '*::words:->words'\n    case $state in\n"
            "        command) _describe command commands ;;\n"
            "        words)\n            name=$words[1]\n" +
            zsh_groups(description) + "            case $name in\n";
    for (const auto& command : description.commands) {
        text += "            " + as_word(command.name) + ")\n                _arguments" +
                zsh_options(command.options) + " \\\n                '*:file:_files' ;;\n";
    }
    return text + "            esac ;;\n    esac\n}\n\n_earbudget \"$@\"\n";
}

std::string fish_completion(const cli::ProgramDescription& description) {
    std::string text = "# Completion of earbudget for fish.\n";
    for (const std::string& name : description.names_of_commands()) {
        text += "complete -c earbudget -n __fish_use_subcommand -f -a " + name + " -d " +
                in_fish(text_of_name(description, name)) + "\n";
    }
    text += fish_groups(description);
    for (const auto& option : description.program.options)
        text += fish_option("__fish_use_subcommand", option);
    for (const auto& command : description.commands) {
        for (const auto& option : command.options)
            text += fish_option(fish_condition(command.name), option);
    }
    return text;
}

}  // namespace earbudget::guides
