#pragma once

#include "excitation/align.hpp"
#include "excitation/solve.hpp"

namespace earbudget {

/// A recording that was found and summed up.
struct Recorded {
    double rate = 0.0;
    Aligned aligned;
    CrossSpectra sums;
    Solved solved;
    double samples = 0.0;  ///< of the recording that were used
};

/// Which recordings belong to one time.
struct Tied {
    std::vector<unsigned> group;     ///< one a recording; of those not asked for, meaningless
    std::vector<CrossSpectra> sums;  ///< one a group
};

/// Ties some of the recordings: each to those before with an axis in common whose answers agree;
/// with a common start, all.
[[nodiscard]] Tied tied_together(const std::vector<Recorded>& all,
                                 const std::vector<std::size_t>& which, bool common_start);

/// The response that tied recordings give; its uncertainty is still unknown. Without recordings
/// nothing is known.
[[nodiscard]] ScannerResponse response_of(const std::vector<Recorded>& all, const Tied& tied);

}  // namespace earbudget
