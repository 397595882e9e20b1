#pragma once

#include "earbudget/study/message.hpp"

namespace earbudget {

// What a review says: of permitted times, of approving, on what conditions.
#define EARBUDGET_REVIEW(row)           \
    row(BelowThreshold, "nn")           \
    row(KeepsAllDay, "")                \
    row(NoTimeKeeps, "")                \
    row(AboveHighest, "nn")             \
    row(PeakAtEarAbove, "nn")           \
    row(NoTimeKeepsSurely, "n")         \
    row(NoTimeForPeak, "n")             \
    row(AllDay, "")                     \
    row(UpTo, "ts")                     \
    row(NoTimeBy, "s")                  \
    row(NothingWorn, "")                \
    row(Worn, "l")                      \
    row(ChoiceWithTime, "mmm")          \
    row(ConfidentlyNotAtAll, "")        \
    row(Confidently, "t")               \
    row(Named, "pm")                    \
    row(MoreInTable, "n")               \
    row(PeakAbove, "nns")               \
    row(PeakNeeded, "nsn")              \
    row(LimitForNeonates, "")           \
    row(NothingCanBeSaid, "m")          \
    row(NoCriterionForRole, "")         \
    row(NotForTime, "tmn")              \
    row(PermitsNoTime, "smn")           \
    row(PermitsMost, "mm")              \
    row(MayBeApproved, "m")             \
    row(OnlyWith, "m")                  \
    row(PeakOver, "p")                  \
    row(NothingForbids, "")             \
    row(NotBeforeKnown, "pm")           \
    row(NoPublishedLimit, "")           \
    row(AfterThat, "m")                 \
    row(NoLongerThanTable, "")          \
    row(ActionValues, "p")              \
    row(KeptUpTo, "mns")                \
    row(IsAnotherKind, "snmns")         \
    row(MeasurePeakAgain, "nnnsn")      \
    row(FitIsChecked, "mmn")            \
    row(KnownMetalFree, "l")            \
    row(MeasureLevelAgain, "mnt")       \
    row(SameTiming, "")                 \
    row(CardIsCompleted, "l")           \
    row(IsLookedAt, "l")
EARBUDGET_PHRASES(ReviewPhrase, EARBUDGET_REVIEW)

}  // namespace earbudget
