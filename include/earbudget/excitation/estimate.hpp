#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "earbudget/excitation/response.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget {

/// A waveform that ran and what was recorded meanwhile.
struct CalibrationPair {
    /// Opens each from its start, each time it is called.
    std::function<std::unique_ptr<WaveformSource>()> open_waveform;
    std::function<std::unique_ptr<SampleSource>()> open_recording;
    std::size_t channel = 0;   ///< of the recording, from 0
    double Pa_per_unit = 1.0;  ///< the pressure that a sample of 1 means
};

/// Where a waveform was found in its recording.
struct Alignment {
    Seconds starts_at{0.0};  ///< of the recording, by its own clock: to some milliseconds
    double clock_ppm = 0.0;  ///< how much faster the recorder's clock runs than the scanner's
    double explained = 0.0;  ///< share of the sound's energy, 60 to 2500 Hz, that follows the drive
    Seconds covered{0.0};    ///< how much of the waveform is in the recording
    unsigned time_base = 0;  ///< recordings with the same number were tied to one time
};

/// What the others predict of a recording that was held back, less what was measured.
struct HeldBack {
    std::size_t recording = 0;            ///< from 0
    std::optional<LevelDifference> LAeq;  ///< none where too little of it is covered
    ThirdOctaveDifferences third_octave = {};
};

/// A response and how well it does.
struct EstimatedResponse {
    ScannerResponse response;
    std::vector<Alignment> alignments;  ///< one a pair
    std::vector<HeldBack> held_back;    ///< one a pair
};

/// Thrown where a recording cannot be used.
enum class UnusableRecording { TooShort, NoSound, NotFound, OtherRate };
struct CannotEstimate {
    std::size_t recording;  ///< from 0
    UnusableRecording why;
};

inline constexpr Formula formula_of_estimate{
    "H(f) = S_dd(f)⁻¹·S_dp(f), sums over windows of all recordings; partial coherence = "
    "|S_ap·rest|² / (S_aa·rest · S_pp·rest)",
    "least squares by frequency; Bendat and Piersol, Random Data, chapter 7 (memory)"};

// When a line counts as known; own choices.
inline constexpr double least_coherence = 0.5;
/// Standard error of the line's magnitude, as a ratio: about 1 dB.
inline constexpr double greatest_relative_error = 0.12;
/// How much of an axis' drive the others may explain: beyond, the axes run in step.
inline constexpr double greatest_drive_coherence = 0.98;
inline constexpr double fewest_windows = 8.0;

/// The recorder's clock may be off by so much.
inline constexpr double greatest_clock_error_ppm = 200.0;

/// Estimates the response by axis from all pairs.
///
/// The time at which a waveform starts in its recording is found by the course of its energy, then
/// by the answer to it; the clock's rate by how phases move on. Recordings are tied to one time
/// where they have an axis in common whose answers agree; `common_start`: where the recordings
/// were started with the waveforms by one trigger, so long after their own beginning, all are. At
/// most the first 20 minutes of a recording are used. Throws CannotEstimate, and what sources
/// throw.
[[nodiscard]] EstimatedResponse estimate_response(const std::vector<CalibrationPair>& pairs,
                                                  std::optional<Seconds> common_start = {});

}  // namespace earbudget
