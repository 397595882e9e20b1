#include "earbudget/choice/phrases.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    ChoicePhrase, {CannotWear, "the person cannot wear \"{}\""},
    {DoesNotSeat, "\"{}\" does not seat (fit = \"poor\" in the plan)"}, {AtPlace, "{}: {}"},
    {Undecided, "cannot be decided by {}: what no method reaches counts unreduced"},
    {NoCriterionForRole, "none of the plan's criteria is for the role {}"},
    {PeakUndecided, "whether {} is kept cannot be decided: {:; }"},
    {PeakNotSure, "{}: peak {:?at most |}{:.1f} dB(C), limit {:.1f} dB(C); {:; }"},
    {MarginToLimit, "{:.1f} dB {:?over|left to} {}"},
    {TightestWhateverIsWorn,
     "tightest of all is {1:?over|within} by {0:.1f} dB whatever is worn: {2}, {3:?its peak "
     "outside|which counts no protectors}"},
    {OverWithProbability, "over a limit with a probability of {:.1f} %{:?, the peak not counted|}"},
    {HardlyOver, "over a limit with a probability of less than 0.1 %{:?, the peak not counted|}"},
    {MoreThanUseful,
     "{:.1f} dB(A) at the ear while sequences run is below {:.0f} dB(A): more than is useful"},
    {InsufficientAtEar, "{:.1f} dB(A) at the ear while sequences run is {}"},
    {SpeechMissed,
     "speech over the intercom, {:.1f} dB(A) at the ear{:?, reduced as sequences are on average|}, "
     "is easily missed"},
    {SpeechNotUnderstood,
     "speech over the intercom stands {:.1f} dB {:?below|above} the noise left between runs{:?, "
     "reduced as sequences are on average|}: not surely understood"},
    {FitTestOutweighs,
     "not counted as an answer: the fit test was made with \"{:\" under \"}\", and a label does "
     "not "
     "outweigh it; test this one too"},
    {BandsLeftOutCouldExceed,
     "not counted as an answer: sound in the octave bands without attenuation data would, "
     "unreduced, put it over a limit"},
    {HangsOnFit, "hangs on the fit: poorly seated it {:?is over a limit|cannot be decided}"},
    {NotForHeadCoil, "\"{}\" does not fit the head coil{:?|, as far as is stated}"},
    {NotForCanal, "\"{}\" is not made for a {} ear canal"},
    {AgreesTo, "the person agrees to {:?plugs|earmuffs} only"},
    {AboveWhateverIsWorn, "above {} whatever is worn, which is no limit: {:, }"},
    {OverWhateverIsWorn, "over {} whatever is worn: it counts no protectors"},
    {PoorlySeatedNotOffered,
     "what the plan has poorly seated is not offered again; this ranking takes everything else as "
     "well seated and worn all the time"},
    {WornPartOfTheTime,
     "the plan has protection worn only part of the time; this ranking takes it as worn all the "
     "time"},
    // In the order in which a ranking asks; at the eighth see FurtherFromUseful.
    {BehindFor,
     "{:?its verdict is worse|it is further over the limit|it protects more than is useful|it does "
     "not fit the head coil|it is not stated to be free of metal|it is not what the person agrees "
     "to or has ear canals for|two have to be seated, one would do||the one above is worn now}"},
    {FurtherFromUseful, "the level at its ear is further from {:.0f} dB(A), the least useful"},
    {LaterInCatalogue, "as good as the one above, which comes first in the catalogue"},
    {Without, "without \"{}\""}, {WithoutTask, "without {}"},
    {WithoutTimeAt, "without the time at {}"},
    {WithoutTaskNumber, "without {0:?other noise, |}task {1}"},
    {OneSessionADay, "one session a day"}, {WornAllTheTime, "worn all the time"},
    {WearingInstead, "wearing \"{:\" under \"}\"{:?, once known to be free of metal|}"},
    {LargestOfTried, "{} (the largest of those tried; {} things to wear were not)"},
    {RatingBelow,
     "{} {:g} is below {} {:g}; usual is H, M, L falling in this order: exchanged? compare them "
     "with the label"},
    {SNRBelowM,
     "SNR {:g} is below M {:g}; it is usually 1 to 3 dB above: compare both with the label"},
    {SNRAboveH, "SNR {:g} is more than 3 dB above H {:g}: compare both with the label"},
    {NRRAboveSNR,
     "NRR {:g} is above SNR {:g}; it takes off two standard deviations and 3 dB where SNR takes "
     "off one: exchanged? compare both with the label"},
    {UnitOfRating, "{} {:g} lies between 0 and 1: a fraction rather than decibels; enter dB"},
    {RatingTooHigh,
     "{} {:g} is above {:g} dB, more than sound through the skull allows: percent, or digits "
     "swapped? enter dB"},
    {PARInCatalogue,
     "PAR {:g} is a fit-test result and belongs to the person who was tested: enter it under "
     "[[person]] of a plan"},
    {RatingApart,
     "more than 2 dB apart, stated for computed: {:, }. Compare ratings, mean and sd with the "
     "sheet, and whether all are of one product and one test{:?; the test for an NRR also has 3150 "
     "and 6300 Hz: enter them where the sheet states them|}"},
    {StatedForComputed, "{} {:g} for {:g} ({:+g} dB{:?; with its digits swapped it would agree|})"},
    {UnitOfMean,
     "every mean attenuation lies between 0 and 1: a fraction rather than decibels; enter dB"},
    {UnitOfSd,
     "every sd lies between 0 and 1: a standard error or another unit rather than the standard "
     "deviation between people in dB, which is 2 to 8; enter that one"},
    {MeanTooHigh,
     "mean attenuation above 60 dB at {:, } Hz, more than sound through the skull allows: percent, "
     "or digits swapped? enter dB"},
    {MeanDips,
     "mean attenuation at {:, } Hz is more than 10 dB below both neighbouring bands: compare it "
     "with the sheet it was copied from"},
    {MeanStandsOut,
     "mean attenuation at {:, } Hz is more than 10 dB above both neighbouring bands: compare it "
     "with the sheet it was copied from"},
    {MeanFalls,
     "mean attenuation at {:, } Hz is lower than at 125 Hz; it rises with frequency for plugs and "
     "muffs: compare it, and the order of the values, with the sheet"},
    {SdZero,
     "sd is 0 at {:, } Hz, which nobody measures between people: enter the standard deviation, "
     "without it the protection is overestimated"},
    {SdAboveMean,
     "sd is larger than the mean at {:, } Hz: mean and sd exchanged, or a digit too many? compare "
     "both with the sheet"},
    {NoOctaveData,
     "no octave-band data, so that nothing can be computed: enter frequency, mean and sd from the "
     "maker's sheet"},
    {NoData,
     "neither octave-band data nor a rating, so that no method can use it: enter frequency, mean "
     "and sd, or the ratings of its label"},
    {BandsMissing,
     "no data at {:, } Hz, so that nothing can be computed: enter all octave bands from 125 to "
     "8000 Hz"},
    {PairBelowOne,
     "at {:, } Hz the pair attenuates more than 3 dB less than \"{}\" alone: compare both with "
     "their sheets"})

EARBUDGET_WORDS(
    WorkPhrase, {People, "{0} {0:?person|people who differ}{1}"}, {InAll, " ({} in all)"},
    {RowsOfADay, "{:.0f} rows a day of {:.0f} sounds that differ × {:.0f} criteria"},
    {Product, "{: × }"}, {Both, "{} and {}"}, {Protectors, "{} protectors"},
    {ProtectorsAndPairs, "{} protectors and pairs ({} alone, {} plugs each under {} earmuffs)"},
    {NothingWorn, "nothing worn"}, {Cards, "{0} card{0:?|s}"}, {Criteria, "{} criteria"},
    {TooLong, "{}: about {:.0f} s of computing; accepted: at most {:.0f} s"},
    {TooLongByLittle, "{}: about {:.1f} s of computing; accepted: at most {:.0f} s"},
    {TooLarge, "{}: {:?results|a report} of about {:.0f} MB; accepted: at most {:.0f} MB"},
    {TooLargeByLittle, "{}: {:?results|a report} of about {:.1f} MB; accepted: at most {:.0f} MB"},
    {TooLongAsCounted,
     "{}: more than {:.0f} s of computing, since many results lie so near their limits that they "
     "take more draws; accepted: less, for example half as many rows, people, protectors or "
     "criteria"},
    {PeopleInOnePlan, "{} people in one plan"}, {TimelineRows, "{0} row{0:?|s} in the timeline"},
    {ProtectorsInCatalogue, "{} protectors in the catalogue"},
    {PlugsAndEarmuffs, "{} plugs and {} earmuffs in the catalogue"},
    {CardsAtOnce, "{0} card{0:?|s} at once"}, {CriteriaOfTerms, "{0} criteri{0:?on|a}"},
    {NoWorking, "no --working"}, {AsText, "--format text"}, {AllOf, "{: and }"},
    {ForExample, "for example {:, or }"}, {LessOfEverything, "less of everything"})

}  // namespace earbudget::report
