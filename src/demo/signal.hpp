#pragma once

#include <cstdint>
#include <vector>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget::demo {

inline constexpr Frequency sample_rate{48000.0};

/// The invented recorder: a full-scale sine is 136 dB.
inline constexpr LevelZ full_scale_level{136.0};

/// Samples of one channel, full scale at ±1.
using Signal = std::vector<double>;

[[nodiscard]] Signal silence(Seconds time);

/// `a` and `b` heard together; both of one length.
void add(Signal& a, const Signal& b);

/// Scales a signal to an unweighted root-mean-square level.
void scale_to(Signal& signal, LevelZ level);

/// A steady sine of full amplitude.
[[nodiscard]] Signal tone(Frequency frequency, Seconds time);

/// The air of a room: noise that falls by 6 dB an octave above 250 Hz. The same for the same seed.
[[nodiscard]] Signal room_noise(Seconds time, std::uint64_t seed);

/// The pump that keeps the helium cold: strokes that chirp and die away, about two a second.
[[nodiscard]] Signal pump(Seconds time);

/// A gradient-like train of pulses: each pulse a tone with harmonics under a smooth envelope.
struct PulseTrain {
    Frequency fundamental;
    std::vector<double> harmonics;  ///< amplitudes from the fundamental on
    Seconds period;                 ///< from pulse to pulse
    double duty;                    ///< part of the period that sounds, up to 1
    unsigned pulses_per_volume;     ///< then one period of silence
    double click;                   ///< amplitude of a short knock that begins each pulse
};
[[nodiscard]] Signal pulse_train(const PulseTrain& train, Seconds time);

}  // namespace earbudget::demo
