#include "decision/far_apart.hpp"

#include <fmt/format.h>

namespace earbudget {

std::string why_far_apart(const PersonResult& result) {
    const CriterionResult* deciding = nullptr;
    for (const CriterionResult& criterion : result.criteria) {
        if (!criterion.first_order || criterion.first_order->parts.empty()) continue;
        if (!deciding || criterion.probability_over > deciding->probability_over)
            deciding = &criterion;
    }
    if (!deciding) return "";
    const FirstOrder& errors = *deciding->first_order;
    const ErrorShare& largest = errors.parts.front();
    return fmt::format(
        " The figures lie so far apart because the exposure is uncertain by {:.1f} dB (k = 1), "
        "most "
        "of it by {}, {:.1f} dB{}.",
        errors.standard.dB(), name_of(largest.kind), largest.standard.dB(),
        largest.kind == ErrorKind::People && result.people_spread_by_default
            ? ", counted in full because a label alone does not say how far people differ"
            : "");
}

}  // namespace earbudget
