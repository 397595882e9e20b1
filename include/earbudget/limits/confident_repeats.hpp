#pragma once

#include <optional>
#include <vector>

#include "earbudget/uncertainty/drawn_day.hpp"

namespace earbudget {

/// How many more runs of each row alone fit into every session, right after those it has, with no
/// exposure limit over with more than the accepted probability; peaks are left out. Looked for up
/// to `best_estimate`, of repeats_left: 0 where that is 0, none where that is none. `drawn` is of
/// the same day.
[[nodiscard]] std::vector<std::optional<unsigned>> confident_repeats_left(
    const HearingDay& day, const DrawnDay& drawn,
    const std::vector<std::optional<unsigned>>& best_estimate);

}  // namespace earbudget
