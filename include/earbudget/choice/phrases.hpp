#pragma once

#include "earbudget/acoustics/message.hpp"

namespace earbudget {

// What speaks for and against what could be worn, and changes by it; with a code what a catalogue
// is told.
// clang-format off
#define EARBUDGET_CHOICE(row) \
    row(CannotWear, "s") row(DoesNotSeat, "s") row(AtPlace, "wm") row(Undecided, "s") \
    row(NoCriterionForRole, "s") row(PeakUndecided, "sp") row(PeakNotSure, "snnnp") \
    row(MarginToLimit, "nns") row(TightestWhateverIsWorn, "nnsn") row(OverWithProbability, "nn") row(HardlyOver, "n") \
    row(MoreThanUseful, "nn") row(InsufficientAtEar, "nm") row(SpeechMissed, "nn") \
    row(SpeechNotUnderstood, "nnn") row(FitTestOutweighs, "l") row(BandsLeftOutCouldExceed, "") \
    row(HangsOnFit, "n") row(NotForHeadCoil, "sn") row(NotForCanal, "ss") row(AgreesTo, "n") \
    row(AboveWhateverIsWorn, "sp") row(OverWhateverIsWorn, "s") row(PoorlySeatedNotOffered, "") \
    row(WornPartOfTheTime, "") row(BehindFor, "n") row(FurtherFromUseful, "n") \
    row(LaterInCatalogue, "") row(Without, "s") row(WithoutTask, "s") row(WithoutTimeAt, "s") \
    row(WithoutTaskNumber, "nn") row(OneSessionADay, "") row(WornAllTheTime, "") \
    row(WearingInstead, "ln") row(LargestOfTried, "mn") row(RatingBelow, "snsn", "H-M-L-order") \
    row(SNRBelowM, "nn", "SNR-below-M") row(SNRAboveH, "nn", "SNR-above-H") \
    row(NRRAboveSNR, "nn", "NRR-above-SNR") row(UnitOfRating, "sn", "unit-of-rating") \
    row(RatingTooHigh, "snn", "rating-too-high") row(PARInCatalogue, "n", "PAR-in-catalogue") \
    row(RatingApart, "pn", "rating-apart") row(StatedForComputed, "snnnn") \
    row(UnitOfMean, "", "unit-of-mean") row(UnitOfSd, "", "unit-of-sd") \
    row(MeanTooHigh, "l", "mean-too-high") row(MeanDips, "l", "mean-dips") \
    row(MeanStandsOut, "l", "mean-stands-out") row(MeanFalls, "l", "mean-falls") \
    row(SdZero, "l", "sd-zero") row(SdAboveMean, "l", "sd-above-mean") \
    row(NoOctaveData, "", "no-octave-data") row(NoData, "", "no-data") \
    row(BandsMissing, "l", "bands-missing") row(PairBelowOne, "ls", "pair-below-one")
// clang-format on
EARBUDGET_PHRASES(ChoicePhrase, EARBUDGET_CHOICE)

// How much work a question is, and what less of it would do.
// clang-format off
#define EARBUDGET_WORK(row) \
    row(People, "nm") row(InAll, "n") row(RowsOfADay, "nnn") row(Product, "p") row(Both, "mm") \
    row(Protectors, "n") row(ProtectorsAndPairs, "nnnn") row(NothingWorn, "") row(Cards, "n") \
    row(Criteria, "n") row(TooLong, "mnn") row(TooLongByLittle, "mnn") row(TooLarge, "mnnn") \
    row(TooLargeByLittle, "mnnn") row(TooLongAsCounted, "mn") row(PeopleInOnePlan, "n") \
    row(TimelineRows, "n") row(ProtectorsInCatalogue, "n") row(PlugsAndEarmuffs, "nn") \
    row(CardsAtOnce, "n") row(CriteriaOfTerms, "n") row(NoWorking, "") row(AsText, "") \
    row(AllOf, "p") row(ForExample, "p") row(LessOfEverything, "")
// clang-format on
EARBUDGET_PHRASES(WorkPhrase, EARBUDGET_WORK)

}  // namespace earbudget
