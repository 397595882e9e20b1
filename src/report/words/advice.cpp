#include "earbudget/advice/phrases.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    AdvicePhrase,
    {CompleteData,
     "Complete what decides, {0:, } unreduced at the ear under \"{1:\" with \"}\": {2}{3:? "
     "(|}{4:, }{3:?)|}."},
    {EnterLCeq, "Enter LCeq of {} (or octave bands, or low_frequency): no label counts without."},
    {MetalOutside, "\"{}\" is not free of metal: it must not come near the magnet. Take another."},
    {DoesNotSeatAnother,
     "\"{0:\" under \"}\" {1:?does|do} not seat (fit = \"poor\") and {1:?is|are} not offered "
     "again: "
     "take another, and check both ears before the first run."},
    {WearThroughout,
     "Worn all the time instead of {:.0f} % of it, the same protection {:?keeps every exposure "
     "limit|is close to a limit|is close to its limits, no better since nobody measured the "
     "levels}{}."},
    {PerhapsOver, ", with a probability of being over above {:g} %"},
    // First, so that no shortened text leaves it out.
    {WearInstead,
     "{:?Wear|Once known to be free of metal, wear} {}{:? all the time|}: {}{:?within every exposure "
     "limit|close to a limit|close, no better since nobody measured the levels}{}{:?,|} if fitted as rated{:? (estimated, nobody measured this pair)|}{:?; the peak "
     "outside stays above its limit|}."},
    {WhileScanning, "{:.1f} dB(A) at the ear while sequences run, "},
    {NothingInCatalogue,
     "Nothing in the catalogue that may be worn is known to keep every exposure limit{:?, with "
     "what the tasks say is worn during them|}."},
    {NoneOfTried,
     "None of the {} tried of what may be worn is known to keep every exposure limit{:?, with what "
     "the tasks say is worn during them|}; {} were not tried."},
    {NoReductionPartOfTheTime,
     "No reduction would keep every exposure limit while protection is worn {:.0f} % of the "
     "time."},
    {NoReductionWould,
     "No reduction would keep every exposure limit: the limit does not count protectors, or is too "
     "far away."},
    {MoreReduction,
     "{:.1f} dB more reduction than {:?the method gives now, which is below 0,|now} would "
     "{:?bring it close, no better since nobody measured the levels|keep every exposure limit}."},
    {SureReduction,
     "{:.1f} dB keeps the probability of being over at {:g} % or less{:?|, as this person really "
     "gets it}."},
    {FarApart,
     "What is sure lies so far from the best estimate because the exposure is uncertain by {:.1f} "
     "dB (k = 1), most of it by {}, {:.1f} dB{:?, counted in full because a label alone does not "
     "say how far people differ|}."},
    {SequenceRow, "\"{0}\"{1}{2:? (|}{3}{2:?)|}"}, {InRow, " in row {}"},
    {RunOnce, "Run {} once a session instead of {} times."},
    {RunTimes, "Run {} {} times a session instead of {} times."},
    {NoNumberKeeps, "No number of them keeps the probability of being over at {:g} % or less."},
    {LessThanOneKeeps,
     "Less than one of them keeps the probability of being over at {:g} % or less."},
    {SomeKeep, "{} of them keeps the probability of being over at {:g} % or less."},
    {LeaveOut, "Leave out {}."},
    {Shorten, "Shorten {} to at most {} a session, all its repeats together (now {})."},
    {DoNotLengthen, "Do not lengthen {} beyond {} a session, all its repeats together (now {})."},
    {ShortenToKeep,
     "Shorten {} to at most {} a session, all its repeats together (now {}), to keep the "
     "probability of being over at {:g} % or less."},
    {NotWorthRunning,
     "Leave out {}: so little of it keeps the probability of being over at {:g} % or less that it "
     "is not worth running."},
    {ByBestEstimate, "By the best estimate it could last {}."},
    {AtMostKeeps, "At most {} keeps the probability of being over at {:g} % or less."},
    {NotKeptWithout,
     "Even without {:?it|them} the probability of being over at {:g} % or less is not kept."},
    {BetterLeftOut,
     "So little of {0:?it|them} keeps the probability of being over at {1:g} % or less that {0:?it "
     "is|they are} better left out."},
    {ShortenAll,
     "Leaving out one row is not enough: shorten all of them in proportion, to {} a session "
     "together."},
    {FewerSessions, "At most {0} session{0:?|s} a day instead of {1}."},
    {NotEvenOneSession, "Not even one keeps the probability of being over at {:g} % or less."},
    {SessionsThatKeep, "At most {0} keep{0:?s|} the probability of being over at {1:g} % or less."},
    {SpreadSessions,
     "Spread the {} sessions over {} days, at most {} a day: {:?close, no better since nobody measured "
     "the levels|within by the best estimate}."},
    {DivideInTwo,
     "Divide each session over 2 days, each with no more than half of the time of each sequence, "
     "rests as they are: {:?close, no better since nobody measured the levels|within by the best "
     "estimate}."},
    {DivideSession,
     "Divide each session over {0:.0f} days, each with no more than 1/{0:.0f} of the time of each "
     "sequence, rests as they are: {1:?close, no better since nobody measured the levels|within by "
     "the best estimate}."},
    {MoveAway, "{0}{1:? for \"|}{2}{1:?\"|}: LEX,8h {3:.1f} dB(A) at the ear."},
    {ShutDoor, "Shut the door at {}"}, {BeAt, "Be at {}{:?, the door shut,|} instead of {}"},
    {MeasureOrEnter, "Measure or enter {}: without it {: and } cannot be decided, since {}."},
    {PeakOf, "{0:?LZpeak|LCpeak} of {1}{2:? (|}{3}{2:?)|}"},
    {PeakStandsForIt, "LCpeak stands for it, and it may reach {:.1f} dB, above {:.1f} dB"},
    {BoundCouldReach,
     "by LAeq + {:g} dB and 1.64 u{:? + 3 dB|} it could reach {:.1f} dB, above {:.1f} dB"},
    {NoBoundForOtherNoise, "no bound is taken for other noise"},
    {NoBoundByPolicy, "the policy takes no bound"},
    {NoBoundForLevels, "no bound is taken for levels that are {}"},
    {PeakOutsideOver,
     "A peak is above its limit outside the protector: neither a shorter time nor this computation "
     "can mend that. Measure the peak again and do not run the sequence before it is lower."},
    {PeakAtEarOver,
     "A peak at the ear is above its limit, and nothing that may be worn, alone and well seated, "
     "is "
     "known to bring it below: a shorter time cannot mend that. Measure the peak again and do not "
     "run the sequence before it is lower."},
    {SpeechMissed,
     "Speech over the intercom reaches the ear with {:.1f} dB(A) and is easily missed below {:.0f} "
     "dB(A): turn the intercom up, agree on a sign, or take a protector with less attenuation."},
    {RaiseIntercom,
     "Speech over the intercom stands {:.1f} dB {:?below|above} the noise that is left between "
     "runs; instructions are understood from about {:.0f} dB above it (common practice, no "
     "source): turn the intercom up by {:.1f} dB or agree on a sign."},
    {MeasureWhatIsNot,
     "Measure the levels of {: and }; before that nothing better than close can be said: {}."},
    {WhereItDoesNotSeat,
     "Where it does not seat, hand out {}: {:?every limit is kept with it|close to a limit with it|"
     "whether the limits are kept with it cannot be decided, so call before the first run|over a "
     "limit with it, so do not start|close with it, no better since nobody measured the levels}."},
    {SpeechNotHeard,
     "{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): spoken instructions may "
     "not be heard, though the plan says they must be. Agree on a sign, or take a protector with "
     "less attenuation."},
    {FitDecides,
     "The verdict hangs on the fit: with {:.0f} dB, as poorly seated protectors give, a limit is "
     "exceeded. Before the first run check both ears: {:; }. Ask whether the scanner's pump, the "
     "steady beat in the room, became clearly quieter; if not, seat it again."},
    // Of foam, premoulded and custom plugs, canal caps, earmuffs, pads (common practice, no
    // source).
    {HowToSeat,
     "{:?roll the plug thin, pull the ear up and back, hold the plug in until it has expanded|pull "
     "the ear up and back, turn the plug in until it seals all around|pull the ear up and back, "
     "turn the plug in until it seals all around|press the caps in with the ear pulled up and back "
     "until both seal|seat the cushions on bare skin all around, no hair or frame of glasses under "
     "them|pack the pads evenly on both sides, as they were when they were measured}"},
    {HowToCheck,
     "{:?hardly seen from the front; the own voice sounds hollow; hands cupped over the ears make "
     "little difference|a light tug meets resistance; the own voice sounds hollow|a light tug "
     "meets resistance; the own voice sounds hollow|both caps still seal with the head turned; the "
     "own voice sounds hollow|no gap to be felt around either cushion, also once the head lies in "
     "the coil|the head hardly moves, and no pad pushes a plug or an earmuff out of its seat}"})

}  // namespace earbudget::report
