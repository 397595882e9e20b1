#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/trace.hpp"

namespace earbudget {

inline constexpr Formula formula_of_combined_uncertainty{
    "u = √(Σ (ci·ui)²), c = 1 / (1 − 10^(−(L1 − L2)/10)) of the measured level L1 and "
    "1 / (10^((L1 − L2)/10) − 1) of its background L2 where it was taken off, else 1",
    "ISO/IEC Guide 98-3, 5.1.2 (clause from memory)"};

/// Accuracy class of the instrument by IEC 61672-1, as its user states it.
enum class InstrumentClass { One, Two, NotStated };

/// One part of the standard uncertainty of a measured LAeq.
struct UncertaintyPart {
    std::string name;
    LevelDifference standard;  ///< k = 1, dB, of LAeq: `sensitivity` is in it
    std::string source;        ///< where the figure comes from
    bool of_position = false;  ///< the microphone's
    double sensitivity = 1.0;  ///< by how much LAeq changes for 1 dB of it
};

/// What is known of a measurement that its uncertainty can be worked out from.
struct UncertaintyFacts {
    InstrumentClass instrument = InstrumentClass::NotStated;
    std::optional<LevelDifference> drift =
        std::nullopt;  ///< none: not checked after the measurement
    /// Standard uncertainty that unsteady sound leaves; none: too short to tell.
    std::optional<LevelDifference> steadiness = std::nullopt;
    /// LAeq as measured above the background's; none: no background was recorded.
    std::optional<LevelDifference> above_background = std::nullopt;
    LevelDifference background_steadiness{0.0};  ///< as steadiness, of the background's LAeq
    /// By how much compression may have changed the level of each recording; none: no loss.
    std::optional<LevelDifference> loss = std::nullopt;
    std::optional<LevelDifference> background_loss = std::nullopt;
    std::optional<LevelDifference> calibration_loss = std::nullopt;
};

/// Parts of the uncertainty of LAeq, and all of them together.
struct ProposedUncertainty {
    std::vector<UncertaintyPart> parts;

    /// The root of the sum of the squares (ISO/IEC Guide 98-3, 5.1.2; clause from memory).
    [[nodiscard]] LevelDifference combined() const;

    /// As a card states it: the microphone's position, and all else as the instrument's, so that it
    /// is shared by all that the measurement found. One recording says nothing of the next run.
    [[nodiscard]] UncertaintyParts parts_of_card() const;
};

/// A standard uncertainty (k = 1) proposed for the LAeq of a sequence card.
///
/// Instrument: 0.7 dB for class 1, 1.5 dB for any other; microphone position: 1.0 dB (ISO 9612,
/// annex C; memory). Calibrator: rectangular with the 0.25 dB that IEC 60942:2017 allows class 1 as
/// half-width, whether its tone was recorded or the calibration is stated. Drift: rectangular with
/// the drift found as half-width, or with the 0.5 dB that ISO 9612 lets pass where it was not
/// checked. Background: what 1 dB of change between its recording and the measurement would do (the
/// 1 dB is ours). Steadiness: as found, or 1 dB where the recording was too short to tell (ours).
/// Lossy compression: rectangular, half-widths by the encoding (source_state.hpp; ours), each
/// recording's for itself. What acts on the measured level or on its background counts as LAeq
/// changes with it.
[[nodiscard]] ProposedUncertainty propose_uncertainty(const UncertaintyFacts& facts);

}  // namespace earbudget
