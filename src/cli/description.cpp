#include "cli/description.hpp"

#include <algorithm>

#include <CLI/CLI.hpp>

#include "cli/command_line.hpp"
#include "cli/review_terms.hpp"
#include "report/record.hpp"

namespace earbudget::cli {

namespace {

/// "{text,json}" of a check, as a list.
std::vector<std::string> listed_in_braces(const std::string& text) {
    const std::size_t open = text.find('{');
    const std::size_t close = text.find('}');
    std::vector<std::string> list;
    if (open == std::string::npos || close == std::string::npos) return list;
    std::size_t start = open + 1;
    while (start <= close) {
        const std::size_t end = std::min(text.find(',', start), close);
        list.push_back(text.substr(start, end - start));
        start = end + 1;
    }
    return list;
}

std::vector<std::string> choices_of(const CLI::Option& option, const std::string& value) {
    if (value == "ROLE") return role_names();
    if (value == "METHOD") return method_names();
    if (value == "DERATING") return derating_names();
    if (value == "ID,ID") return published_ids();
    return listed_in_braces(option.get_type_name());
}

OptionDescription describe(const CLI::Option& option) {
    OptionDescription description;
    for (const std::string& name : option.get_lnames())
        description.names.push_back("--" + name);
    for (const std::string& name : option.get_snames())
        description.names.push_back("-" + name);
    description.value = option.get_option_text();
    description.text = option.get_description();
    description.left_out = option.get_default_str();
    description.choices = choices_of(option, description.value);
    description.required = option.get_required();
    return description;
}

CommandDescription describe(const CLI::App& command) {
    CommandDescription description{.name = command.get_name(),
                                   .text = command.get_description(),
                                   .example = command.get_footer(),
                                   .operands = {},
                                   .options = {}};
    for (const CLI::Option* option : command.get_options()) {
        auto& list = option->get_positional() ? description.operands : description.options;
        list.push_back(describe(*option));
    }
    return description;
}

}  // namespace

ProgramDescription describe_program() {
    CommandOptions options;
    const auto program = command_line(options);
    ProgramDescription description{.version = std::string(report::program_version()),
                                   .program = describe(*program),
                                   .commands = {}};
    for (const CLI::App* command : program->get_subcommands(nullptr))
        description.commands.push_back(describe(*command));
    return description;
}

}  // namespace earbudget::cli
