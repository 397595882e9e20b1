#include "earbudget/review/phrases.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    ReviewPhrase,
    {BelowThreshold, "{:.1f} dB(A) is below the threshold of {:g} dB(A) and does not count"},
    {KeepsAllDay, "24 h of it keep the limit"}, {NoTimeKeeps, "no time at all keeps the limit"},
    {AboveHighest, "{:.1f} dB(A) is above {:g} dB(A), which is not permitted for any time"},
    {PeakAtEarAbove,
     "the peak at the ear, {:.1f} dB(C), is above {:.1f} dB(C), which no shorter time mends"},
    {NoTimeKeepsSurely, "no time keeps the probability of being over at {:g} % or less"},
    {NoTimeForPeak,
     "no time keeps the probability of being over at {:g} % or less for the peak at the ear"},
    {AllDay, "all day"}, {UpTo, "{} a day by {}"}, {NoTimeBy, "no time by {}"},
    {NothingWorn, "nothing worn"}, {Worn, "{: under }"}, {ChoiceWithTime, "{} ({}{})"},
    {ConfidentlyNotAtAll, ", confidently not at all"}, {Confidently, ", confidently {}"},
    {Named, "{:, }{}"}, {MoreInTable, " or {} more, in the table"},
    {PeakAbove, "{:.1f} dB, above {:.1f} dB of {}"},
    {PeakNeeded, "the {:?unweighted |}peak, for {}{:? (kept by a bound alone)|}"},
    {LimitForNeonates, "a limit for neonates"},
    {NothingCanBeSaid, "not to be approved as it is: nothing can be said of any choice, {}"},
    {NoCriterionForRole, "since no criterion is for the role"},
    {NotForTime,
     "not to be approved for {} a day as it is: {}{:?|; review it with the protectors there are}"},
    {PermitsNoTime,
     "{} permits no time with {}{:? or with anything else|}{:?; what would permit more is not "
     "known "
     "to fit the head coil|}"},
    {PermitsMost,
     "{} permits most, {}{:?, of what is known to fit the head coil; more would be permitted with "
     "what is not|}"},
    {MayBeApproved,
     "may be approved on conditions, also without ear protection; permitted by best estimate: {}"},
    {OnlyWith, "may be approved only with {}, by best estimate"},
    {PeakOver,
     "not to be approved as it is, whatever is worn: the peak is {:; }; lower the peak and measure "
     "again"},
    {NothingForbids,
     "not to be approved before this is known: a limit; of the criteria asked for none forbids "
     "anything, name one that does"},
    {NotBeforeKnown, "not to be approved before this is known: {:, }{}"},
    // Targets of 60 or 45 dB that are spoken of could not be confirmed.
    {NoPublishedLimit,
     ", since no published limit for them is known: the facility's own, by whoever is "
     "responsible"},
    {AfterThat, "; after that it {}"},
    {MeasureBeforeApproving,
     "measure before approving, since its levels are {}, which never gives better than close: "
     "{}{:?; to be known too: |}{:, }{}"},
    {AsTheyStand,
     "; no time is approved by the levels as they stand, whose best estimate is: {}"},
    {NoLongerThanTable,
     "it runs no longer a day than the table permits for what is worn, everything else that is "
     "heard that day counted in a plan"},
    {ActionValues,
     "what action values ask for is done, which count no protectors and are kept up to {:, }"},
    {KeptUpTo, "{0}{1:? (above it |}{2:, }{1:?)|}"},
    {IsAnotherKind, "{} is {:?|perhaps }exceeded with {}, {:?by the level|by the peak}: {:, }"},
    {MeasurePeakAgain,
     "the peak is measured again with less uncertainty: {:.1f} dB{:? at the ear|} is within {:.1f} "
     "dB of {}, but over with a probability of {:.0f} %"},
    {FitIsChecked,
     "the fit of both ears is checked before the first run: poorly seated, {} leaves {}{:?, and "
     "the table says it of the others|}"},
    {KnownMetalFree, "it is known that these are free of metal, which is not stated: {:, }"},
    {MeasureLevelAgain,
     "the level is measured again with less uncertainty, or {0:?protection is worn|a larger "
     "reduction is worn than }{1}{0:?| gives}: to keep the probability of being over at {2:g} % or "
     "less it is permitted for {3} a day{0:? with nothing worn|}"},
    {SameTiming,
     "it runs with the timing that the levels were found with: a changed timing is another "
     "sequence (near a resonance small changes moved the energy by up to 17 dB; abstracts seen)"},
    {CardIsCompleted, "the card is completed: {:, }"},
    {IsLookedAt, "somebody competent has looked at: {:, }"})

}  // namespace earbudget::report
