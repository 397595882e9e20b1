#include "cli/review_options.hpp"

#include <CLI/CLI.hpp>

#include "cli/examples.hpp"
#include "cli/option_ranges.hpp"

namespace earbudget::cli {

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
