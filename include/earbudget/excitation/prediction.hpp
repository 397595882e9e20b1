#pragma once

#include <optional>
#include <vector>

#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/excitation/response.hpp"
#include "earbudget/excitation/rotation.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"

namespace earbudget {

/// A tone that is to be expected; `level` is unweighted.
struct PredictedTone {
    Frequency frequency;
    LevelZ level;
    unsigned harmonic = 0;  ///< 1 for the fundamental, 2 … for its multiples; 0: of no series
};

/// What a response does not say of a sequence.
struct Uncovered {
    /// Of the A-weighted energy of all axes' slew, what meets frequencies at which the axis'
    /// response is unknown.
    double energy_percent = 0.0;
    /// If all of it were answered as loudly as largest_expected() says, and everything of unknown
    /// phase came in phase.
    std::optional<LevelA> LAeq_at_most = std::nullopt;
    OctaveLevelsZ octave_at_most = {};    ///< likewise
    OctaveLevelsA octave_A_at_most = {};  ///< likewise, line by line
    /// Third-octave bands in which more than a tenth of the slew's energy is uncovered (own
    /// choice), by position.
    std::vector<std::size_t> third_octaves = {};
};

/// The orientation in which a sequence would be loudest.
struct WorstOrientation {
    Rotation rotation;
    LevelA LAeq;
};

/// The sound that a sequence is expected to make. Levels are absent where nothing is.
struct ExpectedSound {
    Seconds duration{0.0};
    std::optional<LevelA> LAeq;
    std::optional<LevelC> LCeq;
    OctaveLevelsZ octave;
    OctaveLevelsA octave_A;  ///< line by line
    ThirdOctaveLevels<quantity::Unweighted> third_octave;
    std::vector<std::optional<LevelA>> seconds;  ///< LAeq of each second
    std::vector<PredictedTone> tones;
    std::optional<Frequency> fundamental;
    std::array<std::optional<LevelA>, gradient_axes> of_axis;  ///< if it alone sounded
    /// Whether axes of different time bases sound, whose energies were added; then their sum if
    /// they came in phase.
    bool energies_added = false;
    std::optional<LevelA> LAeq_in_phase;
    Uncovered uncovered;
    std::optional<WorstOrientation> worst;  ///< none where not all gradients may turn
    /// Whether some may not turn (label NOROT): then no worst orientation is looked for, since only
    /// the others would turn.
    bool keeps_orientation = false;
    /// Standard uncertainty of LAeq: the response's, more where resonances narrower than three bins
    /// sound, and at least half of what the uncovered could add, so that twice of it reaches LAeq_at_most (own choice).
    LevelDifference uncertainty{0.0};
    PowerSpectrum sound{Frequency(0.0), {}};  ///< Pa² a bin
    PowerSpectrum slew{Frequency(0.0), {}};   ///< (T/m/s)² a bin, all axes together
};

/// The sound of a waveform from its beginning to its end.
///
/// Windows of the drive, half overlapping and power-complementary, are multiplied by the response
/// and their energies added, by frequency and by second. Exact for a response that is flat over a
/// bin; a resonance narrower than that is smeared as much as its estimation smeared it. Of its
/// memory nothing grows with the length but 16 bytes a second. Throws what the source throws.
[[nodiscard]] ExpectedSound predict_sound(WaveformSource& waveform,
                                          const ScannerResponse& response);

/// The level alone, and where the slew is strongest, A-weighted: for many waveforms of a kind.
struct RoughSound {
    std::optional<LevelA> LAeq;
    std::optional<Frequency> strongest;
};
[[nodiscard]] RoughSound predict_roughly(WaveformSource& waveform, const ScannerResponse& response);

}  // namespace earbudget
