#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/measurement/calibration/calibration.hpp"
#include "earbudget/measurement/calibration/calibrator_tone.hpp"
#include "earbudget/measurement/findings/sequence_runs.hpp"
#include "earbudget/measurement/findings/steadiness.hpp"
#include "earbudget/measurement/meters/channel_reading.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "earbudget/measurement/spectrum/tones.hpp"
#include "earbudget/measuring/proposed_uncertainty.hpp"
#include "earbudget/review/phrases.hpp"

namespace earbudget {

/// Calibrations that are stated, by the level of a full-scale sine or by the microphone's
/// sensitivity: one for all channels, or one each.
struct StatedCalibration {
    std::vector<Calibration> channels;
    std::string how = "as stated";  ///< for the reader
};

/// A calibrator's recording, as a reader of findings must know of it.
struct ToneRecording {
    std::string name;
    SourceState state;
};

/// The tones of a calibrator's recordings, one for all channels or one each, and the level that it
/// produced.
struct RecordedCalibrator {
    std::vector<CalibratorToneResult> channels;
    LevelZ produced;
    std::vector<CalibratorToneResult> after = {};  ///< recorded after the measurement, if it was
    bool accept_drift = false;                     ///< measure in spite of a drift too great
    /// What they were found in, as many; empty where nothing is known of it.
    std::vector<ToneRecording> recordings = {};
    std::vector<ToneRecording> recordings_after = {};
};

/// How a recording's levels become levels in air.
using CalibrationSource = std::variant<StatedCalibration, RecordedCalibrator>;

/// Whether there is a calibration for each of `channels`, before and, if any, after.
[[nodiscard]] bool calibrates(const CalibrationSource& source, std::size_t channels);

/// The background of a measurement, one reading a channel, over whole strokes of the pump where its
/// rhythm was found.
struct RecordedBackground {
    std::vector<ChannelReading> channels;
    std::vector<std::optional<PumpRhythm>> rhythms;
    SourceState state = {};
};

/// Opens a recording from its start each time it is called.
using OpenRecording = std::function<std::unique_ptr<SampleSource>()>;

/// Reads a background twice: to find the pump's rhythm, then over whole strokes, the longest of all
/// channels' that are found. Throws what reading throws.
[[nodiscard]] RecordedBackground read_background(const OpenRecording& open);

/// What to do with a recording.
struct MeasureRequest {
    CalibrationSource calibration;                   ///< must calibrate the recording's channels
    const RecordedBackground* background = nullptr;  ///< of as many channels as the recording
    InstrumentClass instrument = InstrumentClass::NotStated;
    bool find_runs = false;
    Seconds from{0.0};  ///< where in its file the recording begins
    /// Measure what the headers announce, in spite of samples behind; else there are no levels
    /// where the recording, its background or its calibrator's has some.
    bool accept_length = false;
    Tracing tracing = Tracing::Off;  ///< whether channels keep their working
};

/// What is known of a channel's background and what came of it.
struct MeasuredBackground {
    std::optional<LevelA> LAeq;
    std::optional<PumpRhythm> rhythm;
    Seconds averaged;  ///< over which the background was averaged
    BackgroundEffect effect;
    LevelDifference steadiness{0.0};  ///< standard uncertainty that its own variation leaves
};

/// A run of a sequence found in a long recording.
struct MeasuredRun {
    SequenceRun run;
    std::optional<LevelA> LAeq;
};

/// A prominent tone; `level` is unweighted.
struct MeasuredTone {
    Frequency frequency;
    LevelZ level;
    LevelDifference above_noise;
    unsigned harmonic;  ///< 1 for the fundamental; 0: belongs to no series
};

/// What is known of the files that a channel's levels come from, besides their samples.
struct MeasuredSources {
    SourceState recording;
    SourceState background;  ///< where there is one
    SourceState calibrator;  ///< before and after, as if they were one
};

/// One channel of a recording as measured.
struct MeasuredChannel {
    std::size_t number;  ///< from 1
    /// None where the calibrator's recording holds no tone or drifted too far, or a recording is
    /// not whole; then there are no levels either.
    std::optional<Calibration> calibration = std::nullopt;
    /// The one of its findings for which there is no LAeq, mostly none of the other levels either;
    /// none where there is one.
    std::optional<Finding> why_no_level = std::nullopt;
    std::string calibrated_how = {};  ///< where it is stated
    std::optional<CalibratorTone> tone = std::nullopt;
    std::optional<LevelZ> calibrator_level = std::nullopt;  ///< that the tone had
    std::optional<LevelDifference> drift = std::nullopt;
    ChannelLevels levels = {};
    std::optional<MeasuredBackground> background = std::nullopt;
    std::vector<MeasuredTone> tones = {};
    std::optional<Frequency> fundamental = std::nullopt;
    std::vector<MeasuredRun> runs = {};  ///< where asked for
    std::optional<ProposedUncertainty> uncertainty = std::nullopt;
    MeasuredSources sources = {};
    Working working = {};  ///< of calibration, background and uncertainty, where asked for
};

/// A recording as measured.
struct MeasuredRecording {
    Frequency sample_rate;
    std::vector<MeasuredChannel> channels;
};

/// Measures a recording to its end. Throws what reading throws.
[[nodiscard]] MeasuredRecording measure(SampleSource& recording, const MeasureRequest& request);

/// The channel with the highest LAeq. Null when no channel has a level.
[[nodiscard]] const MeasuredChannel* loudest_channel(const MeasuredRecording& recording);

/// The levels of a recording as a sequence card states them, to a thousandth of a decibel: those of
/// the channel with the highest LAeq, the ear that is worse off, and the highest peak of all.
struct CardLevels {
    SoundLevels levels;
    std::size_t channel;         ///< from 1
    std::vector<Message> notes;  ///< what was left out or put in its place, and why
};

/// Bands below −20 dB are stated as −20 dB. A-weighted bands are stated only where the bands with
/// the weighting at mid-band miss LAeq by more than the tolerance of a card, as for tones at a
/// band's edge. Throws std::logic_error where no channel has LAeq.
[[nodiscard]] CardLevels card_levels(const MeasuredRecording& recording);

}  // namespace earbudget
