#include "cli/review_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/examples.hpp"
#include "cli/messages.hpp"
#include "cli/option_ranges.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse(std::string_view option, const std::string& given,
                         std::string_view problem) {
    throw UsageProblem(
        fmt::format("{} is \"{}\", {}; accepted: entries with commas between them, "
                    "in double quotes where they hold one: '\"Adult, plugs\",x'",
                    option, given, problem));
}

std::string_view trimmed(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(' ');
    if (begin == text.npos) return "";
    return text.substr(begin, text.find_last_not_of(' ') + 1 - begin);
}

/// Takes one entry and the comma behind it off the text.
std::string take_entry(std::string_view& text, const std::string& given, std::string_view option) {
    if (!text.starts_with('"')) {
        const std::size_t comma = text.find(',');
        const std::string entry(trimmed(text.substr(0, comma)));
        text.remove_prefix(comma == text.npos ? text.size() : comma);
        return entry;
    }
    std::string entry;
    std::size_t at = 1;
    for (;; ++at) {
        if (at >= text.size()) refuse(option, given, "in which a quote does not end");
        if (text[at] == '"' && !text.substr(at + 1).starts_with('"')) break;
        if (text[at] == '"') ++at;
        entry += text[at];
    }
    text = trimmed(text.substr(at + 1));
    if (!text.empty() && text.front() != ',') refuse(option, given, "with more behind a quote");
    return entry;
}

}  // namespace

std::vector<std::string> entries_of(const std::vector<std::string>& given,
                                    std::string_view option) {
    std::vector<std::string> entries;
    for (const std::string& list : given) {
        std::string_view text = trimmed(list);
        for (bool more = true; more;) {
            entries.push_back(take_entry(text, list, option));
            if (entries.back().empty()) refuse(option, list, "with an empty entry");
            more = text.starts_with(',');
            if (more) text = trimmed(text.substr(1));
        }
    }
    return entries;
}

namespace {

void add_terms(CLI::App& command, ReviewOptions& options) {
    command
        .add_option("--criteria", options.criteria,
                    "ids of published criteria, with commas or the option again; every one for the "
                    "role when left out")
        ->allow_extra_args(false)
        ->option_text("ID,ID");
    command
        .add_option("--for", options.for_whom,
                    "adult, teenager, child, neonate or staff: whose limits decide; adult when "
                    "left out")
        ->option_text("WHOM");
    command
        .add_option("--role", options.role,
                    "participant, staff or accompanying; participant when left out")
        ->option_text("ROLE");
    command.add_option("--method", options.method, "as in a plan's policy")
        ->capture_default_str()
        ->option_text("METHOD");
    command
        .add_option("--derating", options.derating,
                    "as in a plan's policy, or the facility's own deduction in dB")
        ->capture_default_str()
        ->option_text("DERATING");
    command
        .add_option("--protection-performance", options.protection_performance,
                    with_range("people protected, for methods octave, hml and snr",
                               protection_performances))
        ->capture_default_str()
        ->option_text("PERCENT");
    command
        .add_option("--accepted-probability", options.accepted_probability,
                    with_range("probability of being over that confident times keep",
                               accepted_probabilities))
        ->capture_default_str()
        ->option_text("PERCENT");
    command
        .add_option("--sessions-per-day", options.sessions_per_day,
                    with_range("sessions with this sequence, back to back", sessions_a_day))
        ->capture_default_str()
        ->option_text("N");
    command
        .add_option("--days-per-week", options.days_per_week,
                    with_range("such days in a week, for criteria on a week", days_a_week))
        ->capture_default_str()
        ->option_text("N");
    command
        .add_option("--at-least", options.at_least,
                    "time a day that something must permit for a recommendation to approve")
        ->capture_default_str()
        ->option_text("T");
}

}  // namespace

CLI::App* add_review(CLI::App& program, ReviewOptions& options) {
    auto* command = program.add_subcommand(
        "review",
        "one sequence on its own for a committee: levels, permitted time, what is missing");
    command->add_option("card", options.cards, "sequence cards, TOML")
        ->required()
        ->option_text("CARD...");
    command
        ->add_option("--against", options.against,
                     "the card of the sequence that is replaced: what changes")
        ->option_text("CARD");
    command
        ->add_option("--protectors", options.protectors,
                     "protector catalogue; without one nothing worn is all that is reviewed")
        ->option_text("FILE");
    add_terms(*command, options);
    command->footer(std::string(review_example));
    return command;
}

}  // namespace earbudget::cli
