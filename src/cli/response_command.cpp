#include <array>
#include <memory>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/measure_inputs.hpp"
#include "cli/steps.hpp"
#include "earbudget/acoustics/units.hpp"
#include "files/error_list.hpp"
#include "files/sound_file.hpp"
#include "measuring/channel_calibration.hpp"
#include "report/words/words.hpp"
#include "responses/response_answer.hpp"
#include "waveforms/open_waveform.hpp"

namespace earbudget::cli {

namespace {

/// A waveform's file, gone through again and again.
class SharedWaveform final : public WaveformSource {
  public:
    explicit SharedWaveform(std::shared_ptr<waveforms::WaveformFile> file)
        : file_(std::move(file)) {}
    [[nodiscard]] std::optional<GradientPiece> next() override { return file_->source().next(); }
    void rewind() override { file_->source().rewind(); }
    [[nodiscard]] bool duration_is_lower_bound() const override {
        return file_->source().duration_is_lower_bound();
    }

  private:
    std::shared_ptr<waveforms::WaveformFile> file_;
};

/// What one pair is read from.
struct OpenPair {
    std::shared_ptr<waveforms::WaveformFile> waveform;
    std::shared_ptr<const files::OpenFile> recording;
    CalibrationPair pair;
};

double Pa_per_unit(const CalibrationSource& source, std::size_t channel, const std::string& path,
                   bool accept_length) {
    const ChannelCalibration found = calibration_of(source, channel, accept_length);
    if (!found.calibration) {
        throw InputError(
            {path},
            fmt::format("there is no calibration: {}; accepted: a calibrator's "
                        "tone, whole and steady",
                        found.why_none ? text_of(found.why_none->says) : std::string("no tone")));
    }
    // A sine whose crests reach 1 has an RMS value of 1/√2.
    return pressure_of(found.calibration->full_scale_level()).Pa() /
           std::sqrt(full_scale_mean_square);
}

OpenPair open_pair(const ResponseOptions& options, const CalibrationSource& source, std::size_t n) {
    const MeasureOptions& measure = options.measure;
    const std::string& path = measure.recordings[n];
    OpenPair open;
    open.waveform = std::make_shared<waveforms::WaveformFile>(
        waveforms::open_waveform(options.waveforms[n], {.repeat = options.repeat}));
    open.recording = files::SoundFile::open(path);
    const std::size_t channels = files::SoundFile(open.recording).channels();
    const std::size_t channel = measure.channel.value_or(1) - 1;
    if (channels > 1 && !measure.channel) {
        throw InputError({path}, fmt::format("it has {} channels; accepted: --channel with one of "
                                             "them",
                                             channels));
    }
    if (channel >= channels) {
        throw InputError({path}, fmt::format("it has no channel {}; accepted: 1{}", channel + 1,
                                             channels > 1 ? fmt::format(" to {}", channels) : ""));
    }
    if (!calibrates(source, channels))
        throw InputError({path},
                         "its channels and the calibrations differ in number; accepted: one "
                         "calibration, or one for each channel");
    open.pair = {
        .open_waveform = [waveform =
                              open.waveform] { return std::make_unique<SharedWaveform>(waveform); },
        .open_recording =
            [recording = open.recording] { return std::make_unique<files::SoundFile>(recording); },
        .channel = channel,
        .Pa_per_unit = Pa_per_unit(source, channel, path, measure.accept_length)};
    return open;
}

std::vector<OpenPair> open_pairs(const ResponseOptions& options, const CalibrationSource& source) {
    std::vector<OpenPair> pairs;
    files::ErrorList errors;
    for (std::size_t n = 0; n < options.waveforms.size(); ++n)
        errors.attempt([&] { pairs.push_back(open_pair(options, source, n)); });
    errors.throw_if_any();
    return pairs;
}

EstimatedResponse estimated(const ResponseOptions& options, const std::vector<OpenPair>& pairs) {
    std::vector<CalibrationPair> plain;
    for (const OpenPair& pair : pairs)
        plain.push_back(pair.pair);
    std::optional<Seconds> start;
    if (options.starts_at) start = parse_moment(*options.starts_at).value();
    try {
        return estimate_response(plain, start);
    } catch (const CannotEstimate& cannot) {
        throw InputError({options.measure.recordings[cannot.recording]},
                         responses::why_unusable(cannot.why));
    }
}

std::string how_calibrated(const MeasureOptions& measure) {
    if (!measure.calibration.empty())
        return fmt::format("calibrator, {:g} dB", *measure.calibrator_level_dB);
    if (!measure.full_scale_level_dB.empty())
        return fmt::format("full-scale level {:g} dB, as stated",
                           measure.full_scale_level_dB.front());
    return fmt::format("{:g} mV/Pa, as stated", measure.sensitivity_mV_per_Pa.front());
}

responses::StoredResponse stored(const ResponseOptions& options, const EstimatedResponse& found,
                                 const std::string& date) {
    const MeasureOptions& measure = options.measure;
    responses::StoredResponse result{.title = options.title,
                                     .scanner = measure.scanner,
                                     .software = measure.software,
                                     .coil = measure.coil,
                                     .response = found.response,
                                     .origin = {.how = "estimated from recordings",
                                                .who = measure.who,
                                                .when = measure.when.empty() ? date : measure.when,
                                                .where = measure.where,
                                                .subject = measure.subject.value_or(""),
                                                .instrument = measure.instrument,
                                                .calibration = how_calibrated(measure),
                                                .recordings = {}},
                                     .left_out = {},
                                     .comparisons = {}};
    for (std::size_t n = 0; n < options.waveforms.size(); ++n) {
        result.origin.recordings.push_back(
            fmt::format("{} of {}", measure.recordings[n], options.waveforms[n]));
        result.left_out.push_back({measure.recordings[n], found.held_back[n].LAeq});
    }
    return result;
}

void check_usage(const ResponseOptions& options) {
    if (options.waveforms.size() != options.measure.recordings.size()) {
        throw UsageProblem(fmt::format(
            "earbudget response: --waveform is given {} times and --recording {} times; accepted: "
            "pairs, the first waveform with the first recording and so on",
            options.waveforms.size(), options.measure.recordings.size()));
    }
    try {
        check_measure_usage(options.measure);
    } catch (const UsageProblem& problem) {
        const std::string_view of_measure = "earbudget measure: ";
        std::string text = problem.what();
        if (text.starts_with(of_measure))
            text.replace(0, of_measure.size(), "earbudget response: ");
        throw UsageProblem(text, problem.help());
    }
}

void check_files(const ResponseOptions& options) {
    files::check_can_write(options.file, options.output.force);
    files::ReadBefore inputs{measure_inputs(options.measure), {}};
    inputs.files.insert(inputs.files.end(), options.waveforms.begin(), options.waveforms.end());
    files::check_is_no_input(options.file, inputs);
    files::check_standard_output({options.file}, inputs);
}

}  // namespace

ExitStatus run_response(const ResponseOptions& stated) {
    ResponseOptions options = stated;
    FilesRead read;
    options.measure = with_setup(options.measure, read);
    check_usage(options);
    check_files(options);
    const CalibrationSource source = calibration_source(options.measure, read);
    const auto pairs = open_pairs(options, source);
    const EstimatedResponse found = estimated(options, pairs);
    report::Record record = record_of(options.output);
    responses::ResponseAnswer answer{
        .stored = stored(options, found, record.date), .pairs = {}, .file = options.file};
    for (std::size_t n = 0; n < pairs.size(); ++n) {
        pairs[n].waveform->require_unchanged();
        answer.pairs.push_back({.waveform = {options.waveforms[n], pairs[n].waveform->sha256()},
                                .recording = {options.measure.recordings[n],
                                              files::SoundFile(pairs[n].recording).sha256()},
                                .alignment = found.alignments[n],
                                .held_back = found.held_back[n]});
        add_input(record, answer.pairs.back().waveform);
        add_input(record, answer.pairs.back().recording);
    }
    for (const report::SourceFile& file : read)
        add_input(record, file);
    deliver(in_format(
                options.output, [&] { return responses::response_json(answer, record); },
                [&] { return responses::response_document(answer, record); }),
            options.output, {{options.file, responses::written_response(answer.stored)}});
    return computed;
}

}  // namespace earbudget::cli
