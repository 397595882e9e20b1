#pragma once

#include <string>
#include <string_view>

#include "earbudget/computing/rows.hpp"

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

inline constexpr auto quality_codes = rows_of<NameRow<QualityCode>>({
    {QualityCode::Clipped, "clipped"},
    {QualityCode::NearNoiseFloor, "near-noise-floor"},
    {QualityCode::LevelOutOfRange, "level-out-of-range"},
    {QualityCode::BackgroundTooClose, "background-too-close"},
    {QualityCode::Drift, "drift"},
    {QualityCode::TooShort, "too-short"},
    {QualityCode::NotSteady, "not-steady"},
    {QualityCode::CalibrationNotATone, "calibration-not-a-tone"},
    {QualityCode::BandAboveNyquist, "band-above-nyquist"},
    {QualityCode::Dropout, "dropout"},
    {QualityCode::ConstantOffset, "constant-offset"},
    {QualityCode::Interference, "interference"},
    {QualityCode::NoPumpRhythm, "no-pump-rhythm"},
    {QualityCode::UnusualCalibrator, "unusual-calibrator"},
    {QualityCode::DataBeyondTheHeader, "data-beyond-the-header"},
    {QualityCode::Lossy, "lossy"},
});

/// The code as it is written in results: "clipped", "near-noise-floor", …
[[nodiscard]] constexpr std::string_view name_of(QualityCode code) {
    return quality_codes[code].name;
}

/// Something about a recording that its reader must know.
struct Finding {
    QualityCode code;
    std::string text;  ///< what was found and what to do about it
};

}  // namespace earbudget
