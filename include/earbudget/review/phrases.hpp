#pragma once

#include "earbudget/acoustics/message.hpp"

namespace earbudget {

// What a review says: of permitted times, of approving, on what conditions.
// clang-format off
#define EARBUDGET_REVIEW(row) \
    row(BelowThreshold, "nn") row(KeepsAllDay, "") row(NoTimeKeeps, "") row(AboveHighest, "nn") \
    row(PeakAtEarAbove, "nn") row(NoTimeKeepsSurely, "n") row(NoTimeForPeak, "n") row(AllDay, "") \
    row(UpTo, "ts") row(NoTimeBy, "s") row(NothingWorn, "") row(Worn, "l") \
    row(ChoiceWithTime, "mmm") row(ConfidentlyNotAtAll, "") row(Confidently, "t") \
    row(Named, "pm") row(MoreInTable, "n") row(PeakAbove, "nns") row(PeakNeeded, "nsn") \
    row(LimitForNeonates, "") row(NothingCanBeSaid, "m") row(NoCriterionForRole, "") \
    row(NotForTime, "tmn") row(PermitsNoTime, "smnn") row(PermitsMost, "mmn") \
    row(MayBeApproved, "m") row(OnlyWith, "m") row(PeakOver, "p") row(NothingForbids, "") \
    row(NotBeforeKnown, "pm") row(NoPublishedLimit, "") row(AfterThat, "m") \
    row(MeasureBeforeApproving, "smnpm") row(AsTheyStand, "m") \
    row(NoLongerThanTable, "") row(ActionValues, "p") row(KeptUpTo, "mnp") \
    row(IsAnotherKind, "snmnp") row(MeasurePeakAgain, "nnnsn") row(FitIsChecked, "mmn") \
    row(KnownMetalFree, "l") row(MeasureLevelAgain, "nmnt") row(SameTiming, "") \
    row(CardIsCompleted, "l") row(IsLookedAt, "l")
// clang-format on
EARBUDGET_PHRASES(ReviewPhrase, EARBUDGET_REVIEW)

// What is said of a card: as written from a recording, what a check finds, what to do about it.
// clang-format off
#define EARBUDGET_CHECKS(row) \
    row(LoudestChannel, "n") row(WeightedBandsStated, "") row(NoBandsStated, "") \
    row(MayNegate, "s") row(OriginNotStated, "") row(Measured, "") row(Guessed, "") \
    row(Declared, "") row(Predicted, "") \
    row(Entered, "") row(NobodyAnswers, "") row(NamesNoYear, "s") row(NoDate, "") \
    row(NotWhere, "s") row(PlaceNotStated, "") row(SubjectNotStated, "") row(NobodyInScanner, "") \
    row(MeasuredWith, "n") row(NoInstrument, "") row(InstrumentClass, "n") \
    row(ClassNotStated, "") row(TimingNotNamed, "") row(CalibrationNotStated, "") \
    row(DurationNotStated, "") row(DurationMeasured, "tn") row(RoomNotStated, "") \
    row(NoRecording, "") row(RecordingWithoutHash, "s") row(RecordingWithHash, "ss") \
    row(NoUncertainty, "m") row(StandardUncertainty, "nn") row(PartsNotStated, "") \
    row(Parts, "nnn") row(LevelInRange, "nnnn") row(NoBands, "") row(BandsBorrowed, "s") \
    row(BandsStated, "") row(BandsNotStated, "l") row(NoLCeq, "n") row(LCeqLevel, "nn") \
    row(LCMinusLA, "sn") row(NoLCpeak, "") row(NoLZpeak, "") row(PeakLevel, "nn") \
    row(PeakAboveAverage, "nn") row(TimingUnknown, "") row(TimingChanged, "ss") \
    row(StateOrigin, "") row(MeasureIt, "") row(SeeDocument, "") row(StateWho, "") \
    row(StateFullDate, "") row(StateWhen, "") row(StateEarPosition, "") row(StatePlace, "") \
    row(StateSubject, "") row(MeasureWithPhantom, "") row(StateInstrument, "") \
    row(StateClass, "") row(StateTiming, "") row(StateCalibrator, "") row(StateHowDecibels, "") \
    row(StateDuration, "") row(RecordWholeRun, "") row(RecordBackground, "") \
    row(MeasureNearer, "") row(KeepRecording, "") row(StateHash, "") row(StateUncertainty, "") \
    row(CountAllParts, "") row(MeasureBetter, "") row(StateParts, "") row(LookAtCalibration, "") \
    row(StateBands, "") row(MeasureBands, "") row(StateEveryBand, "") row(StateLCeq, "") \
    row(LookAtBothLevels, "") row(StateLCpeak, "") row(StateLZpeak, "") \
    row(SeeHowPeakWasFound, "") row(ListenAtPeak, "") row(NameTiming, "") \
    row(MeasureNewTiming, "") row(ValidUntil, "sn") row(SupersededBy, "l") row(UseThatOne, "") \
    row(MeasureAnew, "")
// clang-format on
EARBUDGET_PHRASES(CheckPhrase, EARBUDGET_CHECKS)

}  // namespace earbudget
