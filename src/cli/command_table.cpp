#include "cli/command_table.hpp"

#include <fmt/format.h>

#include "cli/measure_inputs.hpp"
#include "cli/option_rows.hpp"
#include "cli/register_commands.hpp"
#include "cli/review_terms.hpp"
#include "cli/session_commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/computing/instant.hpp"
#include "earbudget/study/card_age.hpp"
#include "predicting/varied.hpp"
#include "waveforms/open_waveform.hpp"

namespace earbudget::cli {

OptionDescription& add(std::vector<OptionDescription>& options, const char* name, const char* value,
                       std::string text, OptionTarget target) {
    options.push_back({.names = {name}, .value = value, .text = std::move(text), .target = target});
    return options.back();
}

OptionDescription& add_flag(std::vector<OptionDescription>& options, const char* name,
                            std::string text, bool& target) {
    return add(options, name, "", std::move(text), &target);
}

CommandDescription command_of(const char* name, const char* text, OptionDescription operand,
                              OutputOptions& output) {
    operand.required = true;
    return {.name = name,
            .text = text,
            .operands = {std::move(operand)},
            .options = {help_option()},
            .output = &output};
}

void add_output(CommandDescription& command, std::vector<std::string> formats, bool with_working) {
    std::vector<OptionDescription>& options = command.options;
    OutputOptions& output = *command.output;
    const std::string all = fmt::format(
        "{} or {}", fmt::join(formats.begin(), formats.end() - 1, ", "), formats.back());
    add(options, "--format", "FORMAT", all + "; by the ending of --output when left out",
        &output.format)
        .only(std::move(formats))
        .left_out = "text";
    add(options, "--output", "FILE", "write the report to this file, whole or not at all",
        &output.file);
    add_flag(options, "--force", "replace existing files, none that was read: all outputs or none",
             output.force);
    add(options, "--date", "YYYY-MM-DD",
        "date of the report, a day of the calendar such as 2026-02-28; today's when left out",
        &output.date)
        .fits = [](const std::string& day) { return is_calendar_day(day); };
    if (!with_working) return;
    add_flag(options, "--working",
             "show how each number came about: formula, clause and the values put in",
             output.working);
}

void add_detail(CommandDescription& command) {
    add_flag(command.options, "--detail",
             "every figure, reason and source, not the short answer alone; --working shows them "
             "too; a page unfolds them",
             command.output->detail);
}

namespace {

using files::NumberRange;
using Options = std::vector<OptionDescription>;

/// Of a number that a file may state too.
const NumberRange& range_of(const files::KeyTable& keys, std::string_view key) {
    return keys.at(key).range;
}

/// Options of what is computed with draws.
void add_draws(CommandDescription& command, const std::string& ids) {
    add(command.options, "--working-for", "ID",
        "the working of this " + ids + " alone; again for each more", &command.output->working_for);
    add(command.options, "--seed", "N",
        "of the draws behind each probability of being over, from 0 to 9223372036854775807: "
        "another one shows how far they stray",
        &command.output->seed)
        .stating_default();
}

void add_calibration(Options& options, MeasureOptions& measure) {
    add(options, "--calibration", "FILE",
        "recording of a calibrator's tone, made with the same gain; this and the other "
        "calibrations again for each channel where they differ",
        &measure.calibration);
    add(options, "--calibrator-level", "DB", "level that the calibrator produced",
        &measure.calibrator_level_dB)
        .within(files::level_range);
    add(options, "--calibration-after", "FILE",
        "the tone recorded again after the measurement, to see the drift",
        &measure.calibration_after);
    add_flag(options, "--accept-drift",
             "measure although the calibration drifted by more than 0.5 dB", measure.accept_drift);
    add(options, "--full-scale-level", "DB",
        "RMS level of a full-scale sine, instead of a calibration", &measure.full_scale_level_dB)
        .within(range_of(files::setup_file, "full_scale_level"));
    add(options, "--sensitivity", "MV_PER_PA",
        "sensitivity of the microphone, instead of a calibration, with --full-scale-volts",
        &measure.sensitivity_mV_per_Pa)
        .within(range_of(files::setup_file, "sensitivity"));
    add(options, "--full-scale-volts", "V",
        "peak volts at the recorder's input that reach full scale", &measure.full_scale_volts)
        .within(range_of(files::setup_file, "full_scale_volts"));
}

void add_part(Options& options, MeasureOptions& measure) {
    add(options, "--background", "FILE",
        "recording at the same place and gain without the sequence, to be taken off",
        &measure.background);
    add_flag(options, "--accept-length",
             "measure what the header announces although the file holds more samples",
             measure.accept_length);
    add_flag(options, "--find-runs", "find when sequences play in a long recording",
             measure.find_runs);
    add(options, "--from", "T", "measure from here on: seconds, \"1 min 20 s\" or 00:01:20",
        &measure.from);
    add(options, "--to", "T", "measure up to here", &measure.to);
    add(options, "--channel", "N", "only this channel, from 1", &measure.channel);
    add(options, "--history", "FILE", "write LAeq of each second to this file, .csv",
        &measure.history);
}

void add_card(Options& options, MeasureOptions& measure) {
    add(options, "--setup", "FILE",
        "what does not change from recording to recording: calibration, background, instrument, "
        "position, scanner, who; TOML. Options stand in the place of its keys",
        &measure.setup);
    add(options, "--cards", "FOLDER",
        "write a sequence card of each recording into this folder: all of them or none",
        &measure.cards);
    add(options, "--table", "FILE",
        "with --cards: table with the headings recording, id, title; ids are the recordings' names "
        "when left out",
        &measure.table);
    add(options, "--card", "FILE", "write a sequence card, .toml", &measure.card);
    add(options, "--id", "ID", "id on the card, the file's name when left out", &measure.card_id);
    add(options, "--title", "TEXT", "title on the card", &measure.card_title);
    add(options, "--who", "TEXT", "who measured, for the card", &measure.who);
    add(options, "--when", "TEXT", "date of the measurement, for the card", &measure.when);
    add(options, "--where", "TEXT", "scanner and position, for the card", &measure.where);
    add(options, "--scanner", "TEXT", "the scanner, for the card", &measure.scanner);
    add(options, "--software", "TEXT", "the scanner's software, for the card", &measure.software);
    add(options, "--coil", "TEXT", "the coil in the bore, for the card", &measure.coil);
    add(options, "--subject", "LOAD", "load in the bore, for the card", &measure.subject)
        .only({"phantom", "person", "empty"});
    add(options, "--instrument", "TEXT", "microphone and recorder, for the card",
        &measure.instrument);
    add(options, "--instrument-class", "CLASS",
        "class of the instrument by IEC 61672-1:2013, 1 or 2", &measure.instrument_class)
        .only({"1", "2"});
    add(options, "--uncertainty", "DB",
        "standard uncertainty (k = 1) of the levels for the card, instead of the one proposed",
        &measure.uncertainty_dB)
        .within(range_of(files::level_keys, "uncertainty"));
}

CommandDescription measure_command(MeasureOptions& measure) {
    auto command = command_of(
        "measure",
        "recordings to levels: LAeq, LCeq, LZeq, LAE, maxima, percentiles, peaks, bands and tones",
        {.value = "RECORDING...", .text = "sound files", .target = &measure.recordings},
        measure.output);
    add_calibration(command.options, measure);
    add_part(command.options, measure);
    add_card(command.options, measure);
    add_output(command, {"text", "json", "html"});
    command.run = [&measure] { return run_measure(measure); };
    return command;
}

CommandDescription assess_command(AssessOptions& assess) {
    auto command = command_of(
        "assess",
        "everyone's exposure over a plan, against each limit, with verdict and advice; of several "
        "plans, or folders of them, one line each",
        {.value = "PATH...",
         .text = "one plan, TOML; or several plans and folders, each with all plans below it",
         .target = &assess.paths},
        assess.output);
    add(command.options, "--against", "PLAN",
        "an earlier version of the plan: what changed, person by person", &assess.against);
    add(command.options, "--since", "FILE",
        "an earlier answer, JSON of assess: which plans are new or gone since then, and whose "
        "verdict or margin changed",
        &assess.since);
    add(command.options, "--register", "FILE",
        "start from what people heard before, as this register has it; with --as",
        &assess.in_register);
    add(command.options, "--as", "ID=CODE",
        "which person of the plan the register knows by which code; again for each more",
        &assess.as);
    add(command.options, "--at", "TIME",
        "with --register: when the plan begins, RFC 3339; now when left out", &assess.at)
        .fits = [](const std::string& time) { return parse_rfc3339(time).has_value(); };
    add_flag(command.options, "--sheet",
             "with --format html: one sheet of paper for the operator at the scanner",
             assess.sheet);
    add_output(command, {"text", "json", "csv", "html"});
    add_detail(command);
    add_draws(command, "person, criterion or sequence");
    command.run = [&assess] { return run_assess(assess); };
    return command;
}

CommandDescription ratings_command(RatingsOptions& ratings) {
    auto command = command_of(
        "ratings", "ratings computed from octave-band data beside those that a catalogue states",
        {.value = "PROTECTORS", .text = "protector catalogue, TOML", .target = &ratings.protectors},
        ratings.output);
    add_output(command, {"text", "json", "csv"});
    command.run = [&ratings] { return run_ratings(ratings); };
    return command;
}

CommandDescription choose_command(ChooseOptions& choose) {
    auto command =
        command_of("choose", "every protector and permitted pair ranked for each person of a plan",
                   {.value = "PLAN", .text = "plan, TOML", .target = &choose.plan}, choose.output);
    add_output(command, {"text", "json", "csv", "html"});
    add_detail(command);
    add_draws(command, "person, criterion or sequence");
    command.run = [&choose] { return run_choose(choose); };
    return command;
}

void add_terms(Options& options, ReviewOptions& review) {
    const NumberRange days{files::days_per_week_range.lowest, files::days_per_week_range.highest};
    add(options, "--criteria", "ID,ID",
        "ids of published criteria, with commas or the option again; every one for the role when "
        "left out",
        &review.criteria)
        .offering(published_ids());
    add(options, "--for", "WHOM",
        "adult, teenager, child, neonate or staff: whose limits decide; adult when left out",
        &review.for_whom);
    add(options, "--role", "ROLE", "participant, staff or accompanying; participant when left out",
        &review.role)
        .offering(role_names());
    add(options, "--method", "METHOD", "as in a plan's policy", &review.method)
        .offering(method_names())
        .stating_default();
    add(options, "--derating", "DERATING",
        "as in a plan's policy, or the facility's own deduction in dB", &review.derating)
        .offering(derating_names())
        .stating_default();
    add(options, "--protection-performance", "PERCENT",
        "people protected, for methods octave, hml and snr", &review.protection_performance)
        .within(range_of(files::policy_keys, "protection_performance"))
        .stating_default();
    add(options, "--accepted-probability", "PERCENT",
        "probability of being over that confident times keep", &review.accepted_probability)
        .within(range_of(files::policy_keys, "accepted_probability"))
        .stating_default();
    add(options, "--sessions-per-day", "N", "sessions with this sequence, back to back",
        &review.sessions_per_day)
        .within(files::sessions_per_day_range)
        .stating_default();
    add(options, "--days-per-week", "N", "such days in a week, for criteria on a week",
        &review.days_per_week)
        .within(days)
        .stating_default();
    add(options, "--at-least", "T",
        "time a day that something must permit for a recommendation to approve", &review.at_least)
        .stating_default();
}

CommandDescription review_command(ReviewOptions& review) {
    auto command = command_of(
        "review",
        "one sequence on its own for a committee: levels, permitted time, what is missing",
        {.value = "CARD...", .text = "sequence cards, TOML", .target = &review.cards},
        review.output);
    add(command.options, "--against", "CARD",
        "the card of the sequence that is replaced: what changes", &review.against);
    add(command.options, "--predicted", "CARD",
        "the card of the same sequence that predict wrote before it had run: how far it was off",
        &review.predicted);
    add(command.options, "--response", "FILE",
        "with --predicted: the response file that it was predicted by, whose record of comparisons "
        "grows by this one",
        &review.response);
    add(command.options, "--protectors", "FILE",
        "protector catalogue; without one nothing worn is all that is reviewed",
        &review.protectors);
    add_terms(command.options, review);
    add_output(command, {"text", "json", "csv", "html"});
    add_detail(command);
    add_draws(command, "criterion or sequence");
    command.run = [&review] { return run_review(review); };
    return command;
}

CommandDescription cards_command(CardsOptions& cards) {
    auto command = command_of(
        "cards",
        "every sequence card of some folders: level, origin, age, what is missing, who uses it",
        {.value = "FOLDER...",
         .text = "folders of cards and plans, looked through with all below them",
         .target = &cards.folders},
        cards.output);
    add_output(command, {"text", "json", "csv"}, /*with_working=*/false);
    command.run = [&cards] { return run_cards(cards); };
    return command;
}

CommandDescription predict_command(PredictOptions& predict) {
    auto command = command_of(
        "predict",
        "a sequence that has never run, from its gradient waveforms: how long, how large, how "
        "steep, and with a scanner's response how loud",
        {.value = "WAVEFORM",
         .text = "sequence in the open format, .seq as text, or a table of samples, CSV",
         .target = &predict.waveform},
        predict.output);
    add(command.options, "--repeat", "N",
        "play it so often, one after another; blocks that say so in the first or the last alone",
        &predict.repeat)
        .within({1.0, 100'000.0, ""})
        .stating_default();
    add(command.options, "--rotate", "R",
        fmt::format("turn the gradients to the scanner's axes, behind the file's own rotations: {}",
                    waveforms::accepted_rotations),
        &predict.rotate)
        .fits = [](const std::string& text) { return waveforms::parse_rotation(text).has_value(); };
    add(command.options, "--response", "FILE",
        "the scanner's response, as earbudget response wrote it: predicts the level",
        &predict.response);
    add(command.options, "--vary", "WHAT",
        fmt::format("with --response: the level when plateaus, or everything, last longer or "
                    "shorter: {}",
                    predicting::accepted_vary),
        &predict.vary)
        .fits = [](const std::string& text) { return predicting::parse_vary(text).has_value(); };
    add(command.options, "--card", "FILE",
        "with --response: write a sequence card, .toml, whose levels are predicted", &predict.card);
    add(command.options, "--id", "ID", "id on the card, the file's name when left out",
        &predict.card_id);
    add(command.options, "--title", "TEXT", "title on the card", &predict.card_title);
    add_output(command, {"text", "json", "html"}, /*with_working=*/false);
    command.run = [&predict] { return run_predict(predict); };
    return command;
}

void add_origin_of_response(Options& options, ResponseOptions& response) {
    MeasureOptions& measure = response.measure;
    add(options, "--title", "TEXT", "title of the response", &response.title);
    add(options, "--who", "TEXT", "who measured", &measure.who);
    add(options, "--when", "TEXT", "date of the measurement; the report's when left out",
        &measure.when);
    add(options, "--where", "TEXT", "where the microphone was", &measure.where);
    add(options, "--scanner", "TEXT", "the scanner", &measure.scanner);
    add(options, "--software", "TEXT", "the scanner's software", &measure.software);
    add(options, "--coil", "TEXT", "the coil in the bore", &measure.coil);
    add(options, "--subject", "LOAD", "load in the bore", &measure.subject)
        .only({"phantom", "person", "empty"});
    add(options, "--instrument", "TEXT", "microphone and recorder", &measure.instrument);
}

CommandDescription response_command(ResponseOptions& response) {
    CommandDescription command{
        .name = "response",
        .text = "the sound of a scanner for its gradients, by axis and frequency, from recordings "
                "of waveforms that ran; predict reads it",
        .options = {help_option()},
        .output = &response.output};
    Options& options = command.options;
    add(options, "--waveform", "FILE",
        "waveform that ran, as predict reads it; again for each recording", &response.waveforms)
        .required = true;
    add(options, "--recording", "FILE",
        "recording of it, the whole of it with some silence before and behind; again for each "
        "waveform, in the same order",
        &response.measure.recordings)
        .required = true;
    add(options, "--output", "FILE", "response file to write, .toml", &response.file).required =
        true;
    add_calibration(options, response.measure);
    add(options, "--setup", "FILE",
        "what does not change from recording to recording: calibration, instrument, position, "
        "scanner, who; TOML. Options stand in the place of its keys",
        &response.measure.setup);
    add(options, "--channel", "N", "this channel of the recordings, from 1",
        &response.measure.channel);
    add(options, "--repeat", "N", "each waveform was played so often, one after another",
        &response.repeat)
        .within({1.0, 100'000.0, ""})
        .stating_default();
    add(options, "--starts-at", "T",
        "where each waveform begins in its recording, for recordings that a trigger of the "
        "scanner starts: their phases then belong to one time. Found when left out",
        &response.starts_at)
        .fits = [](const std::string& time) { return parse_moment(time).has_value(); };
    add_origin_of_response(options, response);
    add(options, "--format", "FORMAT", "text or json, of what is printed", &response.output.format)
        .only({"text", "json"})
        .left_out = "text";
    add_flag(options, "--force", "replace an existing response file", response.output.force);
    add(options, "--date", "YYYY-MM-DD",
        "date of the report, a day of the calendar such as 2026-02-28; today's when left out",
        &response.output.date)
        .fits = [](const std::string& day) { return is_calendar_day(day); };
    command.run = [&response] { return run_response(response); };
    return command;
}

CommandDescription new_command(NewOptions& start) {
    auto command = command_of(
        "new", "a study to begin with: plan, catalogue, rooms and cards, to be filled in",
        {.value = "FOLDER", .text = "folder to be made", .target = &start.folder}, start.output);
    add(command.options, "--table", "FILE",
        "table of sequences, protectors or people to fill it from: CSV, TSV or semicolons, as "
        "spreadsheets save them; again for each more",
        &start.tables);
    add(command.options, "--bids", "FOLDER",
        "timeline from scans that exist: a BIDS dataset, the folder of a subject or session of it, "
        "or what dcm2niix wrote",
        &start.bids);
    add(command.options, "--match", "FILE",
        "with --bids: site file whose [match] says which scans are runs of which card",
        &start.match);
    add(command.options, "--format", "FORMAT",
        "text or json: what was written, what in it is invented, what was matched by nothing",
        &start.output.format)
        .only({"text", "json"})
        .left_out = "text";
    command.run = [&start] { return run_new(start); };
    return command;
}

CommandDescription desk_command(DeskOptions& desk) {
    auto command = command_of(
        "desk", "the studies of a folder as pages in a browser of this machine, until interrupted",
        {.value = "FOLDER",
         .text = "folder of plans, cards and catalogues, with all below it",
         .target = &desk.folder},
        desk.output);
    add(command.options, "--register", "FILE",
        "the register that sessions are recorded in, as register create made it; nothing is "
        "recorded when left out",
        &desk.in_register);
    add(command.options, "--port", "N",
        "port of this machine alone; any that is free when left out", &desk.port)
        .within({0.0, 65535.0, ""});
    add_flag(command.options, "--no-open", "print the address and open no browser", desk.no_open);
    add(command.options, "--behind-proxy", "SECRETFILE",
        "answer to the web server in front that shares this secret, and to nobody else; it names "
        "the person",
        &desk.proxy_secret);
    command.run = [&desk] { return run_desk(desk); };
    return command;
}

}  // namespace

std::vector<GroupDescription> group_rows() {
    return {
        {.name = "register",
         .text = "what people heard, kept in one file that can be trusted, and what it comes to"},
        {.name = "session",
         .text = "what really ran, told as it happens, and whether it may be run again"},
    };
}

std::vector<CommandDescription> command_rows(CommandOptions& told) {
    std::vector<CommandDescription> commands;
    commands.push_back(measure_command(told.measure));
    commands.push_back(assess_command(told.assess));
    commands.push_back(ratings_command(told.ratings));
    commands.push_back(choose_command(told.choose));
    commands.push_back(review_command(told.review));
    commands.push_back(cards_command(told.cards));
    commands.push_back(response_command(told.response));
    commands.push_back(predict_command(told.predict));
    commands.push_back(new_command(told.start));
    commands.push_back(desk_command(told.desk));
    for (CommandDescription& row : register_rows(told.of_register))
        commands.push_back(std::move(row));
    for (CommandDescription& row : session_rows(told.of_session))
        commands.push_back(std::move(row));
    return commands;
}

}  // namespace earbudget::cli
