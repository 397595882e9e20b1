#include <algorithm>
#include <sstream>
#include <vector>

#include <fmt/format.h>

#include "guides/guides.hpp"
#include "report/cautions.hpp"

namespace earbudget::guides {

namespace {

/// The lines of a text, without empty ones at its ends.
std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) {
        if (!line.empty() || !lines.empty()) lines.push_back(line);
    }
    while (!lines.empty() && lines.back().empty())
        lines.pop_back();
    return lines;
}

/// Text that groff prints as it stands.
std::string plain(const std::string& text) {
    std::string escaped;
    for (const char c : text) {
        if (c == '\\') {
            escaped += "\\(rs";
        } else if (c == '-') {
            escaped += "\\-";
        } else {
            escaped += c;
        }
    }
    const bool like_macro = !text.empty() && (text.front() == '.' || text.front() == '\'');
    return (like_macro ? "\\&" : "") + escaped;
}

std::string bold(const std::string& text) { return "\\fB" + plain(text) + "\\fP"; }
std::string italic(const std::string& text) { return "\\fI" + plain(text) + "\\fP"; }

/// An example with what it says before and after; its commands are indented.
std::string example_text(const std::string& example) {
    std::string text = ".PP\n";
    bool in_commands = false;
    for (const std::string& line : lines_of(example)) {
        const bool is_command = line.starts_with("  ");
        if (is_command && !in_commands) text += ".PP\n.nf\n.RS 4\n";
        if (!is_command && in_commands) text += ".RE\n.fi\n";
        in_commands = is_command;
        if (line.empty()) {
            text += ".PP\n";
        } else {
            text += plain(is_command ? line.substr(2) : line) + "\n";
        }
    }
    return in_commands ? text + ".RE\n.fi\n" : text;
}

std::string option_text(const cli::OptionDescription& option) {
    std::string names;
    for (const std::string& name : option.names)
        names += (names.empty() ? "" : ", ") + bold(name);
    if (!option.value.empty()) names += (names.empty() ? "" : " ") + italic(option.value);
    std::string text = plain(option.text);
    const bool said = std::ranges::all_of(option.choices, [&](const std::string& choice) {
        return option.text.find(choice) != std::string::npos;
    });
    if (!said) text += plain(fmt::format(": {}", fmt::join(option.choices, ", ")));
    if (!option.left_out.empty()) text += plain("; when left out: " + option.left_out);
    return ".TP\n" + names + "\n" + text + "\n";
}

std::string operands_text(const cli::CommandDescription& command) {
    std::string text;
    for (const auto& operand : command.operands)
        text += " " + italic(operand.value);
    return text;
}

std::string options_text(const cli::CommandDescription& command) {
    std::string text;
    for (const auto& operand : command.operands)
        text += option_text(operand);
    for (const auto& option : command.options)
        text += option_text(option);
    return text;
}

std::string synopsis(const cli::ProgramDescription& description) {
    std::string text = ".SH SYNOPSIS\n";
    for (const auto& command : description.commands) {
        text += bold("earbudget") + " " + bold(command.name) + operands_text(command) + " [" +
                italic("OPTIONS") + "]\n.br\n";
    }
    for (const auto& option : description.program.options)
        text += bold("earbudget") + " " + bold(option.names.front()) + "\n.br\n";
    return text;
}

std::string command_text(const cli::CommandDescription& command) {
    return ".SS " + plain(command.name) + "\n" + plain(command.text) + ".\n" +
           options_text(command) + example_text(command.example);
}

}  // namespace

std::string manual_page(const cli::ProgramDescription& description) {
    std::string text = fmt::format(
        ".TH EARBUDGET 1 \"\" \"earbudget {}\" \"User Commands\"\n"
        ".nh\n.ad l\n"
        ".SH NAME\nearbudget \\- noise exposure around an MRI scanner and the ear protection that "
        "keeps the limits\n",
        description.version);
    text += synopsis(description);
    text += ".SH DESCRIPTION\n" + plain(description.program.text) + "\n";
    text += ".SH OPTIONS\n" + options_text(description.program);
    text += ".SH COMMANDS\n";
    for (const auto& command : description.commands)
        text += command_text(command);
    text += ".SH EXAMPLES\n" + example_text(description.program.example);
    text += ".SH CAUTIONS\n";
    for (const std::string_view caution : report::cautions)
        text += ".PP\n" + plain(std::string(caution)) + "\n";
    return text;
}

}  // namespace earbudget::guides
