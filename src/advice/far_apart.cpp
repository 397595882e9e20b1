#include "advice/far_apart.hpp"

#include <fmt/format.h>

namespace earbudget {

std::string why_far_apart(const PersonResult& result) {
    const CriterionResult* deciding = nullptr;
    for (const CriterionResult& criterion : result.criteria) {
        if (!criterion.first_order || criterion.first_order->parts.empty()) continue;
        // Far from normal, where a standard uncertainty says nothing.
        if (criterion.probability_over &&
            disagree(*criterion.probability_over, criterion.first_order->probability_over)) {
            continue;
        }
        if (!deciding || criterion.probability_over > deciding->probability_over)
            deciding = &criterion;
    }
    if (!deciding) return "";
    const FirstOrder& errors = *deciding->first_order;
    const ErrorShare& largest = errors.parts.front();
    return fmt::format(
        " What is sure lies so far from the best estimate because the exposure is uncertain by "
        "{:.1f} dB (k = 1), most of it by {}, {:.1f} dB{}.",
        errors.standard.dB(), name_of(largest.kind), largest.standard.dB(),
        largest.kind == ErrorKind::People && result.people_spread_by_default
            ? ", counted in full because a label alone does not say how far people differ"
            : "");
}

}  // namespace earbudget
