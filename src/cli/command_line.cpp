#include "cli/command_line.hpp"

#include <cstdint>
#include <limits>

#include <CLI/CLI.hpp>

#include "cli/examples.hpp"
#include "cli/option_ranges.hpp"
#include "cli/option_values.hpp"
#include "cli/record_of.hpp"
#include "cli/review_options.hpp"
#include "earbudget/study/level_checks.hpp"
#include "report/record.hpp"

namespace earbudget::cli {

namespace {

void add_output_options(CLI::App& command, OutputOptions& output, bool with_pages = true) {
    const auto formats = with_pages ? std::vector<std::string>{"text", "json", "html"}
                                    : std::vector<std::string>{"text", "json"};
    command
        .add_option("--format", output.format,
                    with_pages ? "text, json or html; by the ending of --output when left out"
                               : "text or json; by the ending of --output when left out")
        ->check(CLI::IsMember(formats))
        ->capture_default_str()
        ->option_text("FORMAT");
    command
        .add_option("--output", output.file, "write the report to this file, whole or not at all")
        ->option_text("FILE");
    command.add_flag("--force", output.force,
                     "replace existing files, none that was read: all outputs or none");
    const auto why_no_date = [](const std::string& date) {
        return std::string(is_date(date) ? "" : "is no day of the calendar");
    };
    command
        .add_option(
            "--date", output.date,
            "date of the report, a day of the calendar such as 2026-02-28; today's when left "
            "out")
        ->check(why_no_date)
        ->option_text("YYYY-MM-DD");
}

void add_working_option(CLI::App& command, OutputOptions& output) {
    command.add_flag("--working", output.working,
                     "show how each number came about: formula, clause and the values put in");
}

void add_working_for_option(CLI::App& command, OutputOptions& output, const std::string& ids) {
    command
        .add_option("--working-for", output.working_for,
                    "the working of this " + ids + " alone; again for each more")
        ->allow_extra_args(false)
        ->each([&output](const std::string&) { output.working = true; })
        ->option_text("ID");
}

void add_seed_option(CLI::App& command, OutputOptions& output) {
    command
        .add_option("--seed", output.seed,
                    "of the draws behind each probability of being over, from 0 to "
                    "9223372036854775807: another one shows how far they stray")
        ->capture_default_str()
        ->check(CLI::Range(std::int64_t{0}, std::numeric_limits<std::int64_t>::max()))
        ->option_text("N");
}

/// An option that may be given again, for the next channel; it takes one value each time.
template <class T>
void add_for_each_channel(CLI::App& command, const std::string& name, std::vector<T>& values,
                          const std::string& what, const std::string& placeholder) {
    command.add_option(name, values, what)->allow_extra_args(false)->option_text(placeholder);
}

void add_calibration_options(CLI::App& command, MeasureOptions& options) {
    add_for_each_channel(command, "--calibration", options.calibration,
                         "recording of a calibrator's tone, made with the same gain; this and the "
                         "other calibrations again for each channel where they differ",
                         "FILE");
    command
        .add_option("--calibrator-level", options.calibrator_level_dB,
                    with_range("level that the calibrator produced", calibrator_levels))
        ->option_text("DB");
    add_for_each_channel(command, "--calibration-after", options.calibration_after,
                         "the tone recorded again after the measurement, to see the drift", "FILE");
    command.add_flag("--accept-drift", options.accept_drift,
                     "measure although the calibration drifted by more than 0.5 dB");
    add_for_each_channel(
        command, "--full-scale-level", options.full_scale_level_dB,
        with_range("RMS level of a full-scale sine, instead of a calibration", full_scale_levels),
        "DB");
    add_for_each_channel(command, "--sensitivity", options.sensitivity_mV_per_Pa,
                         with_range("sensitivity of the microphone, instead of a calibration, with "
                                    "--full-scale-volts",
                                    sensitivities),
                         "MV_PER_PA");
    add_for_each_channel(
        command, "--full-scale-volts", options.full_scale_volts,
        with_range("peak volts at the recorder's input that reach full scale", full_scale_voltages),
        "V");
}

void add_part_options(CLI::App& command, MeasureOptions& options) {
    command
        .add_option("--background", options.background,
                    "recording at the same place and gain without the sequence, to be taken off")
        ->option_text("FILE");
    command.add_flag("--accept-length", options.accept_length,
                     "measure what the header announces although the file holds more samples");
    command.add_flag("--find-runs", options.find_runs,
                     "find when sequences play in a long recording");
    command
        .add_option("--from", options.from,
                    "measure from here on: seconds, \"1 min 20 s\" or 00:01:20")
        ->option_text("T");
    command.add_option("--to", options.to, "measure up to here")->option_text("T");
    command.add_option("--channel", options.channel, "only this channel, from 1")->option_text("N");
    command
        .add_option("--history", options.history, "write LAeq of each second to this file, .csv")
        ->option_text("FILE");
}

void add_card_options(CLI::App& command, MeasureOptions& options) {
    command.add_option("--card", options.card, "write a sequence card, .toml")->option_text("FILE");
    command.add_option("--id", options.card_id, "id on the card, the file's name when left out")
        ->option_text("ID");
    command.add_option("--title", options.card_title, "title on the card")->option_text("TEXT");
    command.add_option("--who", options.who, "who measured, for the card")->option_text("TEXT");
    command.add_option("--when", options.when, "date of the measurement, for the card")
        ->option_text("TEXT");
    command.add_option("--where", options.where, "scanner and position, for the card")
        ->option_text("TEXT");
    command.add_option("--instrument", options.instrument, "microphone and recorder, for the card")
        ->option_text("TEXT");
    command
        .add_option("--instrument-class", options.instrument_class,
                    "class of the instrument by IEC 61672-1:2013, 1 or 2")
        ->check(CLI::IsMember({"1", "2"}))
        ->option_text("CLASS");
    command
        .add_option(
            "--uncertainty", options.uncertainty_dB,
            with_range("standard uncertainty (k = 1) of the levels for the card, instead of "
                       "the one proposed",
                       {0.0, highest_uncertainty.dB(), "dB"}))
        ->option_text("DB");
}

void add_measure(CLI::App& program, MeasureOptions& options) {
    auto* command = program.add_subcommand(
        "measure",
        "recordings to levels: LAeq, LCeq, LZeq, LAE, maxima, percentiles, peaks, bands and tones");
    command->add_option("recording", options.recordings, "sound files")
        ->required()
        ->option_text("RECORDING...");
    add_calibration_options(*command, options);
    add_part_options(*command, options);
    add_card_options(*command, options);
    add_output_options(*command, options.output);
    add_working_option(*command, options.output);
    command->footer(std::string(measure_example));
}

void add_assess(CLI::App& program, AssessOptions& options) {
    auto* command = program.add_subcommand(
        "assess", "everyone's exposure over a plan, against each limit, with verdict and advice");
    command->add_option("plan", options.plan, "plan, TOML")->required()->option_text("PLAN");
    command
        ->add_option("--against", options.against,
                     "an earlier version of the plan: what changed, person by person")
        ->option_text("PLAN");
    command->add_flag("--sheet", options.sheet,
                      "with --format html: one sheet of paper for the operator at the scanner");
    add_output_options(*command, options.output);
    add_working_option(*command, options.output);
    add_working_for_option(*command, options.output, "person, criterion or sequence");
    add_seed_option(*command, options.output);
    command->footer(std::string(assess_example));
}

void add_ratings(CLI::App& program, RatingsOptions& options) {
    auto* command = program.add_subcommand(
        "ratings", "ratings computed from octave-band data beside those that a catalogue states");
    command->add_option("protectors", options.protectors, "protector catalogue, TOML")
        ->required()
        ->option_text("PROTECTORS");
    add_output_options(*command, options.output, false);
    add_working_option(*command, options.output);
    command->footer(std::string(ratings_example));
}

void add_choose(CLI::App& program, ChooseOptions& options) {
    auto* command = program.add_subcommand(
        "choose", "every protector and permitted pair ranked for each person of a plan");
    command->add_option("plan", options.plan, "plan, TOML")->required()->option_text("PLAN");
    add_output_options(*command, options.output);
    add_working_option(*command, options.output);
    add_working_for_option(*command, options.output, "person, criterion or sequence");
    add_seed_option(*command, options.output);
    command->footer(std::string(choose_example));
}

}  // namespace

std::unique_ptr<CLI::App> command_line(CommandOptions& options) {
    auto program = std::make_unique<CLI::App>(
        "How much noise people in and around an MRI scanner are exposed to, and which ear "
        "protection makes a planned session keep the limits.",
        "earbudget");
    program->set_version_flag("--version", "earbudget " + std::string(report::program_version()));
    program->require_subcommand(1);
    program->footer(std::string(program_example));
    add_measure(*program, options.measure);
    add_assess(*program, options.assess);
    add_ratings(*program, options.ratings);
    add_choose(*program, options.choose);
    CLI::App* review = add_review(*program, options.review);
    add_output_options(*review, options.review.output);
    add_working_option(*review, options.review.output);
    add_working_for_option(*review, options.review.output, "criterion or sequence");
    add_seed_option(*review, options.review.output);
    for (CLI::App* command : program->get_subcommands([](const CLI::App*) { return true; }))
        take_minus_zero_for_zero(*command);
    return program;
}

}  // namespace earbudget::cli
