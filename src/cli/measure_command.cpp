#include <algorithm>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/measure_inputs.hpp"
#include "cli/steps.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "files/error_list.hpp"
#include "files/output.hpp"
#include "report/reports.hpp"

namespace earbudget::cli {

namespace {

std::size_t calibrations_in(const CalibrationSource& source) {
    if (const auto* stated = std::get_if<StatedCalibration>(&source))
        return stated->channels.size();
    const auto& calibrator = std::get<RecordedCalibrator>(source);
    return std::max(calibrator.channels.size(), calibrator.after.size());
}

void check_channels(const std::string& path, std::size_t channels, const MeasureOptions& options,
                    const MeasureRequest& request) {
    if (!calibrates(request.calibration, channels)) {
        throw InputError({options.calibration.empty() ? path : options.calibration.front()},
                         fmt::format("\"{}\" has {} channel{} and there are {} calibrations; "
                                     "accepted: one for all, or one for each channel",
                                     path, channels, channels == 1 ? "" : "s",
                                     calibrations_in(request.calibration)));
    }
    if (request.background && request.background->channels.size() != 1 &&
        request.background->channels.size() != channels) {
        throw InputError({*options.background},
                         fmt::format("the background has {} channels, \"{}\" has {}; accepted: one "
                                     "channel, or as many as the recording",
                                     request.background->channels.size(), path, channels));
    }
    if (options.channel && (*options.channel < 1 || *options.channel > channels)) {
        throw InputError(
            {path}, fmt::format("the recording has no channel {}; accepted: {}", *options.channel,
                                channels == 1 ? std::string("1, the only one")
                                              : fmt::format("1 to {}", channels)));
    }
}

/// All that cannot be measured are named at once, first by what opening them tells, which is soon
/// told.
void check_recordings(const MeasureOptions& options, const MeasureRequest& request,
                      files::ErrorList& errors) {
    for (const std::string& path : options.recordings) {
        errors.attempt([&] {
            files::SoundFile recording(path);
            check_channels(path, recording.channels(), options, request);
            static_cast<void>(part_of(recording, path, options));
        });
    }
    errors.throw_if_any();
}

report::RecordingReport measure_file(const std::string& path, const MeasureRequest& request,
                                     const MeasureOptions& options) {
    files::SoundFile recording(path);
    check_channels(path, recording.channels(), options, request);
    recording.hash_meanwhile();
    auto part = part_of(recording, path, options);
    SampleSource& source = part ? static_cast<SampleSource&>(*part) : recording;
    MeasureRequest of_part = request;
    if (part) of_part.from = part->from();
    MeasuredRecording levels = measure(source, of_part);
    report::RecordingReport result{.file = {path, recording.sha256()},
                                   .measured = std::move(levels)};
    if (result.measured.channels.front().levels.duration <= Seconds(0.0)) {
        throw InputError({path},
                         "the part asked for holds no sample; accepted: --to later than --from, "
                         "within the recording");
    }
    result.channels_in_file = recording.channels();
    if (part) result.from = part->from();
    result.runs_asked_for = options.find_runs;
    if (options.channel) {
        auto& channels = result.measured.channels;
        channels = {channels[*options.channel - 1]};
    }
    return result;
}

/// Each is read whole, whatever is wrong with others.
std::vector<report::RecordingReport> measure_files(const MeasureRequest& request,
                                                   const MeasureOptions& options) {
    struct Outcome {
        std::optional<report::RecordingReport> report;
        std::optional<InputError> error;
    };
    auto outcomes = for_each_at_once(options.recordings, [&](const std::string& path) {
        Outcome outcome;
        try {
            outcome.report = measure_file(path, request, options);
        } catch (const InputError& error) {
            outcome.error = error;
        }
        return outcome;
    });
    files::ErrorList errors;
    std::vector<report::RecordingReport> reports;
    for (Outcome& outcome : outcomes) {
        if (outcome.error) errors.add(*outcome.error);
        if (outcome.report) reports.push_back(*std::move(outcome.report));
    }
    errors.throw_if_any();
    return reports;
}

bool has_levels(const report::RecordingReport& recording) {
    return std::ranges::none_of(recording.measured.channels, [](const MeasuredChannel& channel) {
        return channel.why_no_level.has_value();
    });
}

/// A file that serves twice, as a calibrator's before and after, must have been the same each time.
void add_read(report::Record& record, const report::SourceFile& file) {
    for (const report::SourceFile& other : record.inputs) {
        if (other.path != file.path || other.sha256 == file.sha256) continue;
        throw InputError(
            {file.path},
            fmt::format("\"{}\" changed while it was read; accepted: a recording that is finished",
                        file.path));
    }
    add_input(record, file);
}

report::Record record_of_measuring(const MeasureOptions& options,
                                   const std::vector<report::RecordingReport>& recordings,
                                   const FilesRead& others) {
    report::Record record = record_of(options.output);
    for (const report::RecordingReport& recording : recordings)
        add_read(record, recording.file);
    for (const report::SourceFile& file : others)
        add_read(record, file);
    return record;
}

void check_outputs(const MeasureOptions& options, const std::vector<MeasureOptions>& cards) {
    const files::ReadBefore inputs{measure_inputs(options)};
    check_output(options.output);
    std::vector<std::string> outputs;
    for (const auto& file : {options.output.file, options.card, options.history})
        if (file) outputs.push_back(*file);
    for (const MeasureOptions& each : cards)
        outputs.push_back(*each.card);
    files::ErrorList errors;
    for (const std::string& file : outputs) {
        errors.attempt([&] {
            files::check_can_write(file, options.output.force);
            files::check_is_no_input(file, inputs);
        });
    }
    errors.throw_if_any();
    files::check_all_different(outputs);
    if (!options.output.file) files::check_standard_output(outputs, inputs);
}

}  // namespace

ExitStatus run_measure(const MeasureOptions& stated) {
    FilesRead read_before;
    const MeasureOptions options = with_setup(stated, read_before);
    check_measure_usage(options);
    const auto cards = options_of_cards(options, read_before);
    FolderOfCards folder(options.cards);
    check_outputs(options, cards);
    files::ErrorList errors;
    CalibrationSource calibration;
    std::optional<RecordedBackground> background;
    errors.attempt([&] { calibration = calibration_source(options, read_before); });
    errors.attempt([&] { background = background_for(options, read_before); });
    if (!errors.empty()) {
        // Nothing is known of what the recordings must have to do with these.
        for (const std::string& path : options.recordings)
            errors.attempt([&] { static_cast<void>(files::SoundFile(path)); });
        errors.throw_if_any();
    }
    const InstrumentClass instrument = !options.instrument_class ? InstrumentClass::NotStated
                                       : *options.instrument_class == "1" ? InstrumentClass::One
                                                                          : InstrumentClass::Two;
    const MeasureRequest request{.calibration = std::move(calibration),
                                 .background = background ? &*background : nullptr,
                                 .instrument = instrument,
                                 .find_runs = options.find_runs,
                                 .accept_length = options.accept_length,
                                 .tracing = tracing(options.output)};
    const bool one_for_all = calibrations_in(request.calibration) == 1;
    if (options.recordings.size() > 1) check_recordings(options, request, errors);
    const auto recordings = measure_files(request, options);
    for (const auto& recording : recordings) {
        if (recording.channels_in_file > 1 && one_for_all) {
            say(
                fmt::format("note: one calibration serves {} of \"{}\"; give one for each where "
                            "microphones differ",
                            recording.channels_in_file == 2
                                ? std::string("both channels")
                                : fmt::format("all {} channels", recording.channels_in_file),
                            recording.file.path));
        }
    }
    const report::Record record = record_of_measuring(options, recordings, read_before);
    const std::string report = in_format(
        options.output, [&] { return report::measure_json(recordings, record); },
        [&] { return report::measure_document(recordings, record); });
    std::vector<files::OutputFile> others;
    if (options.card) others.push_back({*options.card, measured_card(recordings.front(), options)});
    for (std::size_t n = 0; n < cards.size(); ++n)
        errors.attempt([&] {
            others.push_back({*cards[n].card, measured_card(recordings[n], cards[n])});
        });
    errors.throw_if_any();
    if (options.history) others.push_back({*options.history, report::measure_history(recordings)});
    deliver(report, options.output, std::move(others));
    folder.keep();
    return std::ranges::all_of(recordings, has_levels) ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
