#pragma once

#include "earbudget/acoustics/message.hpp"

namespace earbudget {

// What must be known to read the verdict by a limit.
// clang-format off
#define EARBUDGET_REMARKS(row) \
    row(AboveCeiling, "nn") row(OverAWeek, "n") row(WhenAbove, "p") row(NoMethodReaches, "np") \
    row(WithoutThat, "nn") row(PeakOutside, "n") row(PeakAtEar, "m") row(LessThanOutside, "nnm") \
    row(ReductionByM, "nn") row(ReductionByL, "nn") row(SmallerReduction, "nnn") \
    row(AsOutside, "n") row(CForUnweighted, "") row(ByBound, "lnnnn") row(HighestKnown, "n") \
    row(NoPeakStated, "l")
// clang-format on
EARBUDGET_PHRASES(RemarkPhrase, EARBUDGET_REMARKS)

}  // namespace earbudget
