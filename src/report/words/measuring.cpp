#include "earbudget/measuring/card_levels.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    MeasuringPhrase,
    {LoudestChannel,
     "the card is of channel {}, the loudest, with the highest peak of all channels"},
    {WeightedBandsStated,
     "tones lie away from the middle of their octave bands: the card states A-weighted bands as "
     "measured, [levels.octave_A], which the octave-band method then uses"},
    {NoBandsStated,
     "the octave bands do not add up to LAeq, for want of bands that the sampling rate carries or "
     "since a background could be taken off only some of them: the card states no bands"})

}  // namespace earbudget::report
