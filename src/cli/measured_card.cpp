#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "cli/measure_inputs.hpp"
#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/measuring/measure.hpp"
#include "earbudget/study/sequence.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/study_files.hpp"
#include "report/words/words.hpp"

namespace earbudget::cli {

namespace {

/// Whether the recording, its background or its calibrator's was compressed with a loss.
bool is_lossy(const MeasuredSources& sources) {
    return sources.recording.loss || sources.background.loss || sources.calibrator.loss;
}

/// What a card says of a file that its levels come from, behind what else it says of it.
std::string state_text(const SourceState& state) {
    return fmt::format("{}{}", state.loss ? ", lossy" : "",
                       state.bytes_beyond_header > 0
                           ? ", of the length that its header announces (data-beyond-the-header, "
                             "left out by request)"
                           : "");
}

[[noreturn]] void refuse(const report::RecordingReport& recording, std::string why) {
    if (why.ends_with('.')) why.pop_back();
    throw InputError({recording.file.path},
                     fmt::format("no card can be written: {}; accepted: a recording with levels, "
                                 "not clipped and louder than its background",
                                 why));
}

/// Than its background, by more than chance would have it: then the two were mixed up.
bool is_quieter(const MeasuredChannel& channel) {
    const auto distance = channel.background ? channel.background->effect.distance : std::nullopt;
    return distance && *distance < -BackgroundLimits::not_valid;
}

/// Class 1 stands for a whole chain of which nothing is lost.
void refuse_lossy_class_1(const report::RecordingReport& recording, const MeasureOptions& options) {
    const MeasuredChannel* channel = loudest_channel(recording.measured);
    if (!channel || options.instrument_class != "1" || !is_lossy(channel->sources)) return;
    throw InputError({recording.file.path},
                     "no card of class 1 can be written: the recording, its background or its "
                     "calibration was compressed with a loss; accepted: --instrument-class 2 or "
                     "none, or recordings as WAV or FLAC");
}

void check_channels(const report::RecordingReport& recording, const MeasureOptions& options) {
    for (const MeasuredChannel& channel : recording.measured.channels) {
        for (const Finding& finding : channel.levels.findings) {
            if (finding.code == QualityCode::Clipped ||
                finding.code == QualityCode::LevelOutOfRange ||
                (finding.code == QualityCode::BackgroundTooClose && is_quieter(channel))) {
                refuse(recording,
                       fmt::format("channel {}: {}", channel.number, text_of(finding.says)));
            }
        }
    }
    refuse_lossy_class_1(recording, options);
    if (loudest_channel(recording.measured)) return;
    const auto& why = recording.measured.channels.front().why_no_level;
    refuse(recording, why ? text_of(why->says) : "there is no level");
}

/// Of several recordings each is named.
void say_notes(const report::RecordingReport& recording, const CardLevels& card,
               const MeasureOptions& options) {
    const std::string note_on =
        options.cards ? fmt::format("{}: note: ", recording.file.path) : std::string("note: ");
    for (const std::string& note : texts_of(card.notes))
        say(note_on + note);
    const MeasuredChannel* channel = loudest_channel(recording.measured);
    for (const Finding& finding : channel->levels.findings) {
        // The card states the uncertainty, in which a drift counts, and what state_text says.
        if (finding.code == QualityCode::Drift || finding.code == QualityCode::Lossy ||
            finding.code == QualityCode::DataBeyondTheHeader)
            continue;
        say(fmt::format("{}the card does not say: {}: {}", note_on, name_of(finding.code),
                        text_of(finding.says)));
    }
}

/// A name may hold what no TOML text of one line can.
std::string name_on_card(const std::string& path) {
    return visible_text(std::filesystem::path(path).filename().string());
}

std::string calibration_text(const MeasuredChannel& channel, const MeasureOptions& options) {
    // Without "no" and the like, by which a reviewer takes it for none.
    const auto full_scale = decimal_text(channel.calibration->full_scale_level().dB(), 2);
    if (!channel.tone)
        return fmt::format("full-scale sine {} dB, {}", full_scale, channel.calibrated_how);
    return fmt::format(
        "full-scale sine {} dB, by {} of a calibrator's tone of {} dB at {:.1f} Hz{}", full_scale,
        text_of(channel.tone->steady), decimal_text(*options.calibrator_level_dB, 2),
        channel.tone->frequency.Hz(), state_text(channel.sources.calibrator));
}

std::string background_text(const MeasuredChannel& channel, const MeasureOptions& options) {
    if (!channel.background) return "";
    const auto& LAeq = channel.background->LAeq;
    return fmt::format("{}, {}, {}{}", name_on_card(*options.background),
                       LAeq ? decimal_text(LAeq->dB(), 1) + " dB(A)" : std::string("silent"),
                       channel.background->effect.LAeq_is_upper_bound
                           ? "too close: LAeq is an upper bound"
                       : channel.background->effect.corrected ? "taken off where it counts"
                                                              : "not taken off",
                       state_text(channel.sources.background));
}

/// The parts of the uncertainty proposed; empty where the user states it.
std::string uncertainty_text(const MeasuredChannel& channel, const MeasureOptions& options) {
    if (options.uncertainty_dB || !channel.uncertainty) return "";
    std::string text;
    for (const UncertaintyPart& part : channel.uncertainty->parts) {
        text += fmt::format("{}{} {:.2f} dB", text.empty() ? "proposed: " : "; ", part.name,
                            part.standard.dB());
    }
    return text;
}

std::string recording_text(const report::RecordingReport& recording, std::size_t channel,
                           Seconds duration) {
    const std::string from =
        recording.from ? fmt::format(" from {:.3f} s", recording.from->count()) : "";
    return fmt::format("{}, channel {}, {}{}{}", name_on_card(recording.file.path), channel,
                       text_of(duration), from,
                       state_text(loudest_channel(recording.measured)->sources.recording));
}

Origin origin_of(const report::RecordingReport& recording, const CardLevels& card,
                 const MeasureOptions& options) {
    const MeasuredChannel* channel = loudest_channel(recording.measured);
    return {.how = "measured",
            .who = options.who,
            .when = options.when,
            .where = options.where,
            .subject = options.subject.value_or(""),
            .instrument = options.instrument,
            .instrument_class = options.instrument_class
                                    ? std::optional(*options.instrument_class == "1" ? 1U : 2U)
                                    : std::nullopt,
            .calibration = calibration_text(*channel, options),
            .background = background_text(*channel, options),
            .uncertainty = uncertainty_text(*channel, options),
            .recording = recording_text(recording, card.channel, channel->levels.duration),
            .recording_sha256 = recording.file.sha256,
            .duration = channel->levels.duration};
}

LevelDifference to_hundredths(LevelDifference exact) {
    return LevelDifference(std::round(exact.dB() * 100.0) / 100.0);
}

/// That of the user, of whose parts nothing is known, else the one proposed with its parts.
void state_uncertainty(const std::optional<ProposedUncertainty>& proposed,
                       const MeasureOptions& options, SoundLevels& levels) {
    if (options.uncertainty_dB) {
        levels.uncertainty = LevelDifference(*options.uncertainty_dB);
    } else if (proposed) {
        const UncertaintyParts parts = proposed->parts_of_card();
        levels.uncertainty = to_hundredths(proposed->combined());
        levels.uncertainty_parts = {.instrument = to_hundredths(parts.instrument),
                                    .position = to_hundredths(parts.position)};
    }
}

}  // namespace

std::string card_id(const MeasureOptions& options) {
    return options.card_id.empty()
               ? visible_text(std::filesystem::path(*options.card).stem().string())
               : options.card_id;
}

std::string measured_card(const report::RecordingReport& recording, const MeasureOptions& options) {
    check_channels(recording, options);
    CardLevels card = card_levels(recording.measured);
    state_uncertainty(loudest_channel(recording.measured)->uncertainty, options, card.levels);
    if (const auto contradiction = contradiction_in(card.levels)) {
        refuse(recording, text_of(contradiction->says));
    }
    const MeasuredChannel* channel = loudest_channel(recording.measured);
    const std::string text = files::write_sequence_card(
        {.id = card_id(options),
         .title = options.card_title.empty() ? card_id(options) : options.card_title,
         .levels = card.levels,
         .origin = origin_of(recording, card, options),
         .LAeq_is_upper_bound =
             channel->background && channel->background->effect.LAeq_is_upper_bound,
         .scanner = options.scanner,
         .software = options.software,
         .coil = options.coil});
    // Texts from the command line may hold what no TOML file can.
    static_cast<void>(
        files::read_sequence_card(files::parse_toml(text, *options.card), *options.card));
    say_notes(recording, card, options);
    return text;
}

}  // namespace earbudget::cli
