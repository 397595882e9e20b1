#pragma once

#include <optional>
#include <span>

#include "earbudget/measurement/spectrum/tones.hpp"

namespace earbudget {

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
