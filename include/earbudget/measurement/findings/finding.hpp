#pragma once

#include <string>
#include <string_view>

namespace earbudget {

/// What can be wrong with a recording.
enum class QualityCode {
    Clipped,
    NearNoiseFloor,
    LevelOutOfRange,
    BackgroundTooClose,
    Drift,
    TooShort,
    NotSteady,
    CalibrationNotATone,
    BandAboveNyquist,
    Dropout,
    ConstantOffset,
    Interference,
    NoPumpRhythm,
    UnusualCalibrator,
    DataBeyondTheHeader,
    Lossy
};

/// The code as it is written in results: "clipped", "near-noise-floor", …
[[nodiscard]] std::string_view name_of(QualityCode code);

/// Something about a recording that its reader must know.
struct Finding {
    QualityCode code;
    std::string text;  ///< what was found and what to do about it
};

}  // namespace earbudget
