#pragma once

#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/spectrum/spectrum_meter.hpp"

namespace earbudget {

/// The range in which noise masks a tone at its centre.
struct CriticalBand {
    Frequency from;
    Frequency to;
};

/// 25 + 75 · (1 + 1.4 (f / kHz)²)^0.69 Hz wide; about the tone arithmetically up to 500 Hz and
/// geometrically above, never below 0 Hz (ECMA-74, annex D; memory).
[[nodiscard]] CriticalBand critical_band(Frequency tone);

/// The ratio of a tone's power to that of the noise in its critical band from which on the tone is
/// prominent: 8 dB from 1 kHz up, 8 dB + 8.33 dB · lg(1 kHz / f) below (ECMA-74, annex D; memory).
[[nodiscard]] LevelDifference prominent_tone_to_noise_ratio(Frequency tone);

/// A prominent tone of a recording.
struct Tone {
    Frequency frequency;
    LevelFS level;                ///< of the tone alone, averaged over the whole recording
    LevelDifference above_noise;  ///< above the noise of the critical band around it
    unsigned harmonic = 0;  ///< 1 for the fundamental, 2 … for its multiples; 0: of no series
};

/// All prominent tones by frequency.
struct Tones {
    std::vector<Tone> tones;
    /// What their series begins with, where it is itself a tone; see number_harmonics.
    std::optional<Frequency> fundamental;
};

/// Finds the prominent tones from 20 Hz to 0.45 of the sampling rate, fifty at most, the strongest.
///
/// A tone is a narrow peak of the spectrum with a valley on either side. Its level is what seven
/// bins hold above the noise, its frequency their centre of gravity. It stands out of the noise of
/// its critical band as far as prominent_tone_to_noise_ratio() asks for; the noise is that of the
/// louder side, without other lines, so that a dense series of harmonics does not hide itself and
/// the edge of a band of noise is no tone. Left out is what a stronger tone's window could make
/// beside it, and what is 60 dB below the strongest or below the whole sound. What makes a peak
/// narrow is this program's own rule. `spectrum` is a SpectrumMeter's.
[[nodiscard]] Tones find_tones(const PowerSpectrum& spectrum);

/// Numbers those of the tones, given by rising frequency, that are whole multiples of one
/// frequency, and returns that frequency if it is itself a tone.
///
/// First a tone is looked for whose harmonics, itself among them, hold over half of the energy of
/// all tones and a third of the numbers in their range. Else, of all frequencies from 15 Hz up, the
/// one is taken whose multiples, at least every second one over some range, account for the most
/// tones. With a tone at the fundamental three members are enough, if they are two fifths of the
/// tones in their range and a sixth of all. Without it four are needed, three fifths and a quarter,
/// and only one way of numbering them may fit. If there is no such series, all tones get the number
/// 0: sidebands about a tone that is no multiple of their spacing are no harmonics. A frequency
/// within 1 Hz of its place counts, within a sixteenth of the spacing below 16 Hz.
std::optional<Frequency> number_harmonics(std::span<Tone> tones);

}  // namespace earbudget
