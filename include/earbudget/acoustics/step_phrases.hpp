#pragma once

#include "earbudget/acoustics/message.hpp"

namespace earbudget {

// What the steps of a working are about, and the words that stand among their numbers.
// clang-format off
#define EARBUDGET_STEPS(row) \
    row(LCFromBands, "m") row(SnrFromOctaves, "m") row(OfProtector, "s") row(PairBands, "ss") \
    row(InLastTwoColumns, "") row(InLastColumn, "") row(UnderProtector, "ms") \
    row(AfterDerating, "m") row(NoiseReduction, "n") row(RatingFromOctaves, "sn") \
    row(PositionLevel, "m") row(AtEar, "m") row(AtEarWhileWorn, "m") row(AtEarOverTime, "m") \
    row(SpectrumUncertainty, "m") row(ReductionByM, "m") row(Reduction, "m") row(Rest, "") \
    row(OwnNoise, "") row(Background, "") row(InTask, "sm") row(AtPosition, "ms") \
    row(ByMethod, "mss") row(DailyExposureBy, "ss") row(DailyExposure, "") \
    row(DailyExposurePoorlySeated, "") row(AboveLimitAtMean, "s") row(PartOfUncertainty, "ss") \
    row(SharesOfUncertainty, "s") row(FirstOrderUncertainty, "s") \
    row(FirstOrderProbability, "s") row(Probability, "s") row(NotExceeded, "s") \
    row(LongestTime, "m") row(LongestOfAll, "") row(Confident, "m") row(MoreRuns, "m") \
    row(ByBestEstimate, "m") row(PinkNoise, "") row(ReductionAtMean, "m") row(Slope, "m") \
    row(Limit, "s") row(PeakLimit, "s") row(OfTheDay, "s") row(Margin, "s") \
    row(PeakReduction, "m") row(PeakReductionForm, "n") row(ComputedFromOctaves, "n") \
    row(PeakBound, "m") row(HighestPeak, "s") row(PeakProbability, "s") row(FullScaleSine, "") \
    row(CalibrationDrift, "") row(WithoutBackground, "ss") row(SoundExposureLevel, "") \
    row(LAeqUncertainty, "") row(WornBy, "ss") row(PoorlySeated, "m") row(LongestInSession, "m") \
    row(PermittedADay, "m") row(ConfidentADay, "m") row(RunsThatKeep, "") row(ConfidentRuns, "") \
    row(SessionsThatKeep, "") row(ConfidentSessions, "") row(DaysToSpread, "") \
    row(DaysToDivide, "") row(MissingReduction, "") row(ConfidentMissingReduction, "") \
    row(ShareOfList, "sn") row(DropWithout, "sn") row(LargestChange, "m") row(SpeechAbove, "") \
    row(HighestHour, "") row(SharesAtEar, "") row(TimeOfTheDay, "") row(LAeqOutside, "") \
    row(LAeqAtEar, "") row(DailyExposureOutside, "") row(ExposureAtEar, "") \
    row(ExposureOfStudy, "") row(WhileScanning, "") row(OverALimit, "") row(NeededAtEar, "") \
    row(ConfidentlyNeededAtEar, "") row(RatingNeeded, "sm") row(EveryBandNeeded, "m") \
    row(OfAType, "s") row(AsOnLabel, "s") row(Unrounded, "s") row(StatedAndComputed, "s")
// clang-format on
EARBUDGET_PHRASES(StepPhrase, EARBUDGET_STEPS)

}  // namespace earbudget
