#pragma once

#include <vector>

#include "earbudget/measuring/measure.hpp"
#include "earbudget/review/phrases.hpp"

namespace earbudget {

/// The levels of a recording as a sequence card states them, to a thousandth of a decibel: those of
/// the channel with the highest LAeq, the ear that is worse off, and the highest peak of all.
struct CardLevels {
    SoundLevels levels;
    std::size_t channel;         ///< from 1
    std::vector<Message> notes;  ///< what was left out or put in its place, and why
};

/// Bands below −20 dB are stated as −20 dB. A-weighted bands are stated only where the bands with
/// the weighting at mid-band miss LAeq by more than the tolerance of a card, as for tones at a
/// band's edge. Throws std::logic_error where no channel has LAeq.
[[nodiscard]] CardLevels card_levels(const MeasuredRecording& recording);

}  // namespace earbudget
