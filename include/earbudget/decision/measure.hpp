#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "earbudget/measurement/calibrator_tone.hpp"
#include "earbudget/measurement/channel_levels.hpp"
#include "earbudget/measurement/sample_source.hpp"
#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// The tones of a calibrator's recording, one result a channel, and the level that it produced.
struct RecordedCalibrator {
    std::vector<CalibratorToneResult> channels;
    LevelZ produced;
};

/// How a recording's levels become levels in air: the level of a full-scale sine as stated, or a
/// calibrator's tone recorded with the same gain. One channel of tone serves every channel of the
/// recording, several serve one each.
using CalibrationSource = std::variant<LevelZ, RecordedCalibrator>;

/// One channel of a recording as measured.
struct MeasuredChannel {
    std::size_t number;  ///< from 1
    /// None where the calibrator's recording holds no tone; then there are no levels either, and a
    /// finding says why.
    std::optional<Calibration> calibration = std::nullopt;
    std::optional<CalibratorTone> tone = std::nullopt;
    ChannelLevels levels = {};
};

/// A recording as measured.
struct MeasuredRecording {
    Frequency sample_rate;
    std::vector<MeasuredChannel> channels;
};

/// Whether a calibrator's recording has a tone for each channel, or one for all.
[[nodiscard]] bool calibrates(const CalibrationSource& source, std::size_t channels);

/// Measures a recording to its end. `source` must calibrate its channels. Throws what reading
/// throws.
[[nodiscard]] MeasuredRecording measure(SampleSource& recording, const CalibrationSource& source);

/// The channel with the highest LAeq. Null when no channel has a level.
[[nodiscard]] const MeasuredChannel* loudest_channel(const MeasuredRecording& recording);

/// The levels of a recording as a sequence card states them, to a thousandth of a decibel: those of
/// the channel with the highest LAeq, the ear that is worse off, and the highest peak of all.
struct CardLevels {
    SoundLevels levels;
    std::size_t channel;             ///< from 1
    std::vector<std::string> notes;  ///< what was left out or put in its place, and why
};

/// Bands below −20 dB are stated as −20 dB. A-weighted bands are stated only where the bands with
/// the weighting at mid-band miss LAeq by more than the tolerance of a card, as for tones at a
/// band's edge. Throws std::logic_error where no channel has LAeq.
[[nodiscard]] CardLevels card_levels(const MeasuredRecording& recording);

}  // namespace earbudget
