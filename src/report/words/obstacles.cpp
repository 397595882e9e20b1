#include "earbudget/exposure/criterion.hpp"
#include "earbudget/limits/judge.hpp"
#include "earbudget/protection/predict.hpp"
#include "earbudget/study/sequence.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

EARBUDGET_WORDS(
    ObstaclePhrase, {NoOctaveData, "has no octave-band data; accepted: frequency, mean and sd"},
    {NoDataInBands, "has no mean and sd at {:, } Hz; accepted: all of 125 to 8000 Hz"},
    {NoOctaveLevels, "has no octave-band levels; accepted: [levels.octave], 125 to 8000 Hz"},
    {NoLevelInBands, "has no octave-band level at {:, } Hz; accepted: all of 125 to 8000 Hz"},
    {NoCLevel,
     "has neither LCeq nor all octave-band levels from 125 to 8000 Hz; accepted: LCeq, "
     "[levels.octave], or spectrum_like with a card that has them{:?, or low_frequency = false "
     "where low frequencies are not strong|}"},
    {NoSnrOfTwo,
     "has no SNR; accepted: frequency, mean and sd from 125 to 8000 Hz of one of the two, or its "
     "SNR"},
    {NoRatingNorOctaves,
     "has no {0}; accepted: {0}, or frequency, mean and sd from 125 to 8000 Hz"},
    {NoRating, "has no {0}; accepted: {0}"},
    {NoHmlOfTwo,
     "has no H, M, L: no publication estimates them for a pair; accepted: a [[pair]] as measured"},
    {NoRatingAtAll,
     "has no rating that any method can use; accepted: SNR, H, M and L, NRR, or frequency, mean "
     "and sd"},
    {DeratingUndefined,
     "no publication defines derating {0} with method {1}; accepted: {0} with method nrr; {2} with "
     "every method"},
    {DeratingOfTwoUndefined,
     "derating {} says nothing about two protectors worn together; accepted: {} with method nrr; "
     "{} with every method"},
    {ByBestMethod, "method best is {} here; {}"}, {ForPerson, "for \"{}\": {}"},
    {NoLevelAtPosition,
     "position \"{}\" has no level for {}: neither a card measured there nor a difference that "
     "applies; accepted: difference_dB, differences by octave band where the card has bands, or "
     "cards measured there"},
    {MoreThanTwo, "more than two protectors; accepted: a plug and an earmuff"},
    {TwoEarmuffs, "two earmuffs; accepted: a plug and an earmuff"},
    {TwoPlugs, "two plugs; accepted: a plug and an earmuff"},
    {CapUnderEarmuff,
     "a canal cap under an earmuff, whose cushions its band would lift; accepted: a plug and an "
     "earmuff"},
    {PadBesideAnother,
     "a head-coil pad beside another protector, of which nothing is published, so that it counts 0 "
     "dB; accepted: the other one alone"},
    {LevelOutside, "{} is {:g} dB; accepted: {:.0f} to {:.0f} dB"},
    {UncertaintyOutside, "uncertainty is {:g} dB; accepted: 0 to {:.0f} dB"},
    {OctavesOffLAeq,
     "LAeq is {:.1f} dB but the {:?A-weighted |}octave-band levels sum to {:.1f} dB(A), {:.1f} dB "
     "apart; accepted: up to {:.0f} dB apart{:?, or no octave bands where not all are known|}"},
    {OctaveAOffOctave,
     "octave_A has {:.1f} dB(A) at {} Hz and octave {:.1f} dB; accepted: {:.1f} to {:.1f} dB "
     "between them, the A weighting inside that band"},
    {AAboveC,
     "LAeq {:.1f} dB is above LCeq {:.1f} dB by more than the weightings allow; accepted: up to "
     "{:.0f} dB"},
    {AAboveZ,
     "LAeq {:.1f} dB is above the unweighted {:.1f} dB of the octave bands; accepted: up to {:.1f} "
     "dB above, which is all that A weighting amplifies"},
    {CBelowOctaves,
     "LCeq is {:.1f} dB but the octave-band levels sum to {:.1f} dB(C); accepted: LCeq at most "
     "{:.0f} dB below"},
    {LowFrequencyAgainstC,
     "low_frequency is false but LCeq lies {:.1f} dB above LAeq; accepted: false below {:.0f} dB"},
    {PeakBelowAverage,
     "{} {:.1f} dB is below the average level {:.1f} dB; accepted: a peak of the same sound is "
     "never below its average"})

EARBUDGET_WORDS(
    OriginPhrase, {Stated, "stated"},
    {MeasuredByClass1,
     "default of {:.1f} dB: measured with a class 1 instrument (ISO 9612:2009, annex C)"},
    {MeasuredOtherwise,
     "default of {:.1f} dB: measured, instrument not stated to be class 1 (ISO 9612:2009, annex "
     "C)"},
    {Entered, "default of {:.1f} dB: entered from a document (own choice)"},
    {EnteredInPlan, "default of {:.1f} dB: entered in the plan (own choice)"},
    {Guessed, "default of {:.1f} dB: guessed (own choice)"},
    {NoOrigin, "default of {:.1f} dB: no origin stated (own choice)"},
    {Declared,
     "default of {:.1f} dB: declared by the manufacturer for the scanner, no bound for one "
     "sequence "
     "(own choice)"},
    {Predicted, "default of {:.1f} dB: predicted, its own error not stated (own choice)"})

EARBUDGET_WORDS(
    CriterionPhrase,
    {HalfTheDose, "half of the permissible dose, 85 dB(A) for eight hours, without protectors"},
    {NationalLaw, "national law may be stricter"}, {WithoutProtectors, "without protectors"},
    {UnderProtector,
     "LEX,8h and LpC,peak, both under the protector; the practice deductions of derating trlv go "
     "with it"},
    {NotThatOf85dB,
     "99 dB(A) for one hour is LEX,8h 90 dB(A): this is not an 85 dB(A) criterion, NIOSH allows "
     "18.9 minutes at that level"},
    {NoAveragingTime, "the text gives no averaging time, so that the loudest row counts"},
    {PersonalListening,
     "made for personal listening (from memory); only this plan's noise is in the week, not what "
     "else the person hears"},
    {WeeklyAverage,
     "the weekly average LEX,w stands for the daily level: article 3(3) is for exposure that "
     "varies markedly from day to day, asks for adequate monitoring and needs national law that "
     "allows it (from memory); the employer and the competent authority answer for that"},
    {Programme, "a hearing conservation programme is required and protectors must be offered"},
    {ProtectorsUsed, "protectors must be used"},
    {Measures, "and a programme of technical and organisational measures is required"},
    {ProtectorsOffered, "protectors must be offered"},
    {WithTraining, "with information and training"},
    {SignificantRisk, "the study counts as significant risk and needs a different approval"},
    {DeviceExemption, "in US law an investigational device exemption (from memory)"})

EARBUDGET_WORDS(
    RemarkPhrase,
    {AboveCeiling,
     "a level of {:.1f} dB(A) is above {:.0f} dB(A), which is not permitted for any time"},
    {OverAWeek, "over a week with {0:g} such day{0:?|s}"}, {WhenAbove, "above it {:, }"},
    {NoMethodReaches,
     "cannot be decided: no method reaches {0:?some of it|}{1:, } under what is worn, so that it "
     "counts unreduced"},
    {WithoutThat, "without that sound it is {0:.1f} {1:?%|dB(A)}"},
    {PeakOutside,
     "compares the peak outside the protector{:?: this limit counts no protectors|: this limit is "
     "on the unweighted peak, and the method for a peak under a protector is for the C-weighted "
     "one|, on which this limit is}"},
    {PeakAtEar, "compares the peak at the ear{}"},
    {LessThanOutside,
     ", {:.1f} dB less than outside by DGUV Information 212-024, annex 1 (edition not confirmed): "
     "{:?what the fit test gives, less than |}{}"},
    {ReductionByM, "M {:g} − Ks {:g} dB"}, {ReductionByL, "L {:g} − Ks {:g} − 5 dB"},
    {SmallerReduction,
     "the smaller of M {0:g} − Ks {1:g} and L {2:g} − Ks {1:g} − 5 dB, since low_frequency is not "
     "stated"},
    {AsOutside,
     "as outside where {:?H, M and L of what is worn are neither stated nor to be computed|what "
     "is worn is not worn all the time|what is worn is poorly seated|two are worn together, of "
     "which the method says nothing}"},
    {CForUnweighted,
     "LCpeak stands for the unweighted peak, which is not stated and may be up to 3 dB higher, "
     "more where the sound lies below 31.5 Hz or above 8 kHz"},
    {ByBound,
     "by a bound, since no peak is stated for {:, }: at most {:.1f} dB, taken {:g} dB "
     "above LAeq ({:?by the plan's measured cards and 3 dB|peak_at_most_above_LAeq, own choice}), "
     "and 1.64 u{:?, and 3 dB for the unweighted peak|}"},
    {HighestKnown, "highest known {:.1f} dB{:?(C)|}"},
    {NoPeakStated, "no peak is stated for {:, }"},
    {NotMeasured,
     "no better than close, since nobody measured the levels of {: and }: record a whole run at "
     "the "
     "ear position and measure it"},
    {NotMeasuredOne, "\"{}\" ({})"},
    {RecordingToMake,
     "record a whole run of it, 10 s or more, with the microphone at the participant's ear "
     "position "
     "and a head phantom or a person in the bore, and at the same gain the calibrator's tone and "
     "the room without it; `earbudget measure` then writes the card"},
    {ExampleLevels, "the levels of \"{}\""},
    {ExamplePosition, "the position \"{}\""}, {ExampleBackground, "the background"},
    {ExampleProtector, "the protector \"{}\""}, {ExamplePlan, "the plan's times"},
    {RestsOnExamples, "by examples that nobody measured: {:, }"},
    {MadeForOthers,
     "made for others than neonates, for whom no published limit is known: below it nothing is "
     "decided"})

}  // namespace earbudget::report
