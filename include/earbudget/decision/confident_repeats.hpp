#pragma once

#include <optional>
#include <vector>

#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// How many more runs of each row fit into every session with which no exposure limit is over with
/// more than the accepted probability: never more than `repeats_left`, looked for up to `most`.
/// None for what is no sequence; of rows that are not among `rows` too.
[[nodiscard]] std::vector<std::optional<unsigned>> confident_repeats_left(
    const Plan& plan, const PersonResult& result, const std::vector<std::size_t>& rows,
    unsigned most);

}  // namespace earbudget
