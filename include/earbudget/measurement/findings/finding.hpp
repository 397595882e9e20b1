#pragma once

#include <string_view>

#include "earbudget/acoustics/message.hpp"
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

// What is said of recordings: what was found and what to do about it.
// clang-format off
#define EARBUDGET_FINDINGS(row) \
    row(CutOff, "mnn") row(FullScale, "") row(BelowFullScale, "n") row(SamplesMissing, "nnn") \
    row(ConstantOffset, "n") row(TooShort, "nnn") row(AboveNyquist, "nnl") \
    row(DigitalSilence, "") row(NearRounding, "") row(ManySounds, "n") row(NotSteady, "nnn") \
    row(Bursts, "nnn") row(RarePeaks, "nnn") row(BeyondTheHeader, "nmn") row(OfSound, "n") \
    row(Lossy, "n") row(TooLoud, "np") row(TooFaint, "np") row(Band, "s") row(EmptyBands, "") \
    row(NothingAWeighted, "") row(LouderBackground, "n") row(UpperBounds, "nl") \
    row(NoPumpRhythm, "") row(ToneCutOff, "") row(NoTone, "m") row(ToneOfSilence, "") \
    row(ToneOfOtherFrequency, "nn") row(ToneDistorted, "nn") row(ToneBelowNoise, "") \
    row(ToneRecordedTooShort, "") row(ToneTooShort, "nnn") row(ToneWanders, "n") \
    row(SecondTone, "nn") row(UnusualCalibrator, "n") row(OtherTone, "nn") row(Drift, "nnnn") \
    row(AfterMeasurement, "m") row(InCalibration, "sm") row(InBackground, "m")
// clang-format on
EARBUDGET_PHRASES(FindingPhrase, EARBUDGET_FINDINGS)

/// Something about a recording that its reader must know.
struct Finding {
    QualityCode code;
    Message says;  ///< a FindingPhrase
};

}  // namespace earbudget
