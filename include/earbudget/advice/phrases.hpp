#pragma once

#include "earbudget/acoustics/message.hpp"

namespace earbudget {

// What can be done about a verdict, and how protectors are seated.
// clang-format off
#define EARBUDGET_ADVICE(row) \
    row(CompleteData, "plmnl") row(EnterLCeq, "p") row(MetalOutside, "s") row(DoesNotSeatAnother, "ln") \
    row(WearThroughout, "nnm") row(PerhapsOver, "n") row(WearInstead, "nsnmnmnnn") \
    row(WhileScanning, "n") row(NothingInCatalogue, "n") row(NoneOfTried, "nnn") \
    row(NoReductionPartOfTheTime, "n") row(NoReductionWould, "") row(MoreReduction, "nnn") \
    row(SureReduction, "nnn") row(FarApart, "nsnn") row(SequenceRow, "smns") row(InRow, "n") \
    row(RunOnce, "mn") row(RunTimes, "mnn") row(NoNumberKeeps, "n") row(LessThanOneKeeps, "n") \
    row(SomeKeep, "nn") row(LeaveOut, "m") row(Shorten, "mtt") row(DoNotLengthen, "mtt") \
    row(ShortenToKeep, "mttn") row(NotWorthRunning, "mn") row(ByBestEstimate, "t") \
    row(AtMostKeeps, "tn") row(NotKeptWithout, "nn") row(BetterLeftOut, "nn") row(ShortenAll, "t") \
    row(FewerSessions, "nn") row(NotEvenOneSession, "n") row(SessionsThatKeep, "nn") \
    row(SpreadSessions, "nnnn") row(DivideInTwo, "n") row(DivideSession, "nn") row(MoveAway, "mnsn") \
    row(ShutDoor, "s") row(BeAt, "sns") row(MeasureOrEnter, "mlm") row(PeakOf, "nsns") \
    row(PeakStandsForIt, "nn") row(BoundCouldReach, "nnnn") row(NoBoundForOtherNoise, "") \
    row(NoBoundByPolicy, "") row(NoBoundForLevels, "s") row(PeakOutsideOver, "") \
    row(PeakAtEarOver, "") row(SpeechMissed, "nn") row(RaiseIntercom, "nnnn") \
    row(MeasureWhatIsNot, "pm") row(WhereItDoesNotSeat, "sn") row(SpeechNotHeard, "nn") row(FitDecides, "np") row(HowToSeat, "n") row(HowToCheck, "n")
// clang-format on
EARBUDGET_PHRASES(AdvicePhrase, EARBUDGET_ADVICE)

}  // namespace earbudget
