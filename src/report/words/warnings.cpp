#include "earbudget/day/warning.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    WarningPhrase,
    {NoBackground,
     "time with no sequence running counts as time without sound, since the plan has no "
     "[background]"},
    {ReductionBelowZero, "the reduction in \"{}\" comes to {:.2g} dB and counts as 0 dB"},
    {BandsLeftOut,
     "\"{}\" has {:.1f} dB(A) in octave bands that the octave-band method leaves out, below {} "
     "and above 8000 Hz; the level at the ear may be higher than computed"},
    {LCWithout63Hz,
     "LC of \"{}\" is summed from octave bands that begin at 125 Hz; enter LCeq or the 63 Hz band "
     "if there is sound below"},
    {BackgroundUnreduced,
     "the background counts unreduced at the ear, since [background] lacks what {0:?method |any "
     "method}{1} needs"},
    {OtherNoiseUnreduced,
     "other noise counts unreduced at the ear, since its levels lack what {0:?method |any "
     "method}{1} needs"},
    {LesserMethod, "\"{}\" under \"{:\" with \"}\" is predicted by {}, others by {}: it {}"},
    {CardLacksData, "{:, } unreduced at the ear under \"{:\" with \"}\": {}"},
    {ProtectorLacksData, "{:, } unreduced at the ear under \"{:\" with \"}\": {}"},
    {NotReached, "{0:?method |no method can be used}{1}{0:? cannot be used|}: {2} {3}"},
    {Quoted, "\"{}\""}, {QuotedSet, "\"{:\" under \"}\""}, {Each, "each"},
    {OtherNoise, "other noise"}, {TheBackground, "the background"},
    {SpectrumNotKnown, "\"{:\", \"}\": {}"},
    {BorrowedSpectrum,
     "octave bands are those of \"{}\", shifted to this LAeq: {} under \"{:\" with \"}\" counts "
     "with a standard uncertainty of {:.1f} dB more, the spread of the reduction over all cards "
     "with bands, at least {:.0f} dB (own choice); enter [levels.octave] as measured"},
    {LAeqAlone,
     "LAeq alone is known, so that {} under \"{:\" with \"}\" is used {} ({}){}. Its standard "
     "uncertainty, {:.1f} dB, is that of LC − LA anywhere from {:.0f} to {:.0f} dB (own choice); "
     "enter LCeq or [levels.octave], or spectrum_like with a card that sounds alike{:?, or "
     "low_frequency = false where low frequencies are not strong|}"},
    {ReductionByM, ": {:.1f} dB; by M, without strong low frequencies, {:.1f} dB"},
    {LabelFor84Percent,
     "the rating of \"{0:\" under \"}\" is that of its label, which holds for {1:g} % of people: "
     "{2:g} % of people {3:?would have less, so that the level at the ear is too low for them|have "
     "at least that}; enter frequency, mean and sd to have it for {2:g} %"},
    {PeakUnknown,
     "the peak limit of {} cannot be judged, since no peak is stated for {:, }; enter "
     "LCpeak{:? or LZpeak|}"},
    {MetalInBore, "\"{}\" is not free of metal and must not enter the bore"},
    {MetalNearMagnet, "\"{}\" is not free of metal and must not come near the magnet"},
    {MetalUnstated,
     "\"{}\" is not stated to be free of metal: make sure before it {:?enters the bore|comes near "
     "the magnet}"},
    {WeeklyAverageNotUsed,
     "days_per_week is not stated: the daily level is compared and no weekly average"},
    {DoesNotFitHeadCoil, "\"{}\" does not fit the head coil"},
    {NotWhatFits,
     "\"{}\" is not what the person can be given: {:?the person agrees to plugs only|the person "
     "agrees to earmuffs only|one ear cannot be fitted, which only an earmuff reaches|it is not "
     "made for such ear canals}"},
    {FitTestUsed,
     "the fit test (PAR {:.1f} dB) is used in the place of the policy's method {}: it tells of "
     "this person, a label does not"},
    {DeratingNotUsed, "derating {} is for labels and is not applied to the fit test"},
    {FitTestUncertainty,
     "the fit test states no PAR_uncertainty: its spread over insertions is not counted in the "
     "probability of being over"},
    {FitTestOfOthers,
     "the PAR of \"{0:\" under \"}\" {1:?that the plan states with this person's own protector is "
     "used: enter it as the person's PAR if it is this person's fit test|in the catalogue is used, "
     "which is no fit test of this person}"},
    {PoorFit, "a poor fit counts as no more than {:.0f} dB (common practice, no source)"},
    {IntercomUnstated,
     "speech must be heard, but the plan states no [intercom]: by how much it stands above the "
     "noise left between runs is not known"},
    {IntercomWithoutBackground,
     "the plan states no [background]: by how much speech over the intercom stands above the "
     "noise left between runs is not known"},
    {IntercomByAverage,
     "[intercom] or [background] lacks what the method needs: speech and noise between runs are "
     "reduced as the sequences are on average, which speech may not be; enter its octave bands"},
    {PairWithUnknown, "nothing is known of one of the two worn together: it counts for nothing"},
    {PairEstimated,
     "nobody measured this pair; estimated by the higher rating plus 5 dB (OSHA technical manual, "
     "for NRR), in octave bands by the better device plus 5 dB below the limits of bone conduction "
     "(from memory)"},
    {PairWorseThanPart,
     "\"{0:\" under \"}\" is predicted to leave up to {2:.1f} dB more at the ear than \"{1}\" "
     "alone, "
     "the pair by {3}, that by {4}: {5:?the methods differ, not the ears, so compare both by one "
     "method|the data of the pair say so, which hardly any ear does}"},
    {DeratingSuperseded, "{}"}, {DeratingHasLimit, "{}"},
    {FewSamples,
     "the {0} samples of {1:?\"|a task's noise}{2}{1:?\"|} lie {3:.1f} dB apart: measure as many "
     "again or divide the task (ISO 9612:2009, 9.3, from memory)"},
    {UncertaintyByDefault, "no uncertainty is stated for \"{:\", \"}\": {}"},
    {DayTooLong, "the sessions of one day last longer than 24 hours"},
    {PeopleSpreadByDefault,
     "no octave-band attenuation is stated for something that is worn: people are taken to differ "
     "by {:.0f} dB (k = 1, own choice)"},
    {PeopleSpreadUnknown,
     "how far people differ is not known of something that is worn, and not counted in the "
     "probability of being over"},
    {CandidatesLeftOut,
     "of what could be worn instead {} were tried for the advice, the strongest and those that "
     "seemed to keep every limit and come nearest to the least useful level, and {} left out, "
     "since all would take too long: one of those may do better; choose ranks all of a shorter "
     "catalogue"},
    {CandidatesNotAsked,
     "of what could be worn instead and keeps every limit by the best estimate {} were asked how "
     "sure that is, none of them surely enough, and {} left out, since all would take too long: "
     "one of those may be surer; choose ranks all of a shorter catalogue"},
    {NoCriterion,
     "none of the plan's criteria is for the role {}; name one that is in \"criteria\""},
    {BelowBackground,
     "\"{}\" with {:.1f} dB(A) is quieter than the plan's background with {:.1f}: look at its "
     "calibration"},
    {LevelRange,
     "\"{}\" with {:.1f} dB(A) is outside {:g} to {:g} dB(A) of published measurements in "
     "scanners: look at its calibration and unit"},
    {TimelineFromScans,
     "the timeline was taken from scans that were kept: runs that were stopped, failed or only "
     "calibrated are missing, so that exposure is at least this; add them"},
    {DurationAtMost,
     "of {:\", \"} no duration is known: each run counts until the next one began, at most what it "
     "lasted"},
    {DurationAsMinutes, "{}"},
    {ByEN458,
     "{} by EN 458{:?, which judges the level while it is heard, yet within every limit, each of "
     "which judges the whole day|, which judges the level while it is heard; by the limits, each "
     "of which judges the whole day, it is close|}"},
    {CardStale,
     "the card \"{}\" was valid until {}: look whether scanner, software and coil are still those, "
     "and measure again"},
    {CardSuperseded, "the card \"{}\" is superseded by \"{:\", \"}\": use that one"},
    {UnfittedEar,
     "the {:?left|right} ear cannot be fitted: the person is judged by that ear, which only an "
     "earmuff reaches; plugs, canal caps and pads count nothing there"},
    {NoLimitForNeonates,
     "no published limit for neonates is known: nothing is decided before the plan states the "
     "facility's own ([[criterion]]), by whoever is responsible"},
    {YoungEars,
     "labels and octave data of protectors are of adults, which {} is not: a small ear canal holds "
     "a plug worse; take one that is made for the ear, check both, test the fit where you can"},
    {PregnantStaff,
     "pregnant staff: whether the day may be worked so is for the unit's physician and the "
     "employer's rules; no figure here is about an unborn child, and no ear protection reaches it. "
     "Ask before the day"},
    {Tinnitus,
     "tinnitus or hyperacusis: whether and how the scan is done is for the unit's physician; no "
     "figure here counts it. Ask before the day, and agree on the sign to stop"},
    {HearingDevice,
     "a hearing device: whether it stays outside, and what is worn in its place, is for the unit's "
     "physician and the rules of safety at the magnet; no figure here counts it. Ask before the "
     "day, and how instructions are given without it"})

}  // namespace earbudget::report
