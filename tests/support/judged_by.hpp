#pragma once

#include <algorithm>
#include <string_view>

#include "sessions/judged.hpp"

namespace earbudget::test {

/// The exposure limit of one criterion.
inline const CriterionResult& by(const sessions::Judged& judged, std::string_view id) {
    return *std::ranges::find_if(judged.criteria, [&](const CriterionResult& one) {
        return one.criterion->id == id && !one.is_peak;
    });
}

}  // namespace earbudget::test
