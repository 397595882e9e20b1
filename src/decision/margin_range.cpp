#include "earbudget/decision/margin_range.hpp"

#include "decision/day_of.hpp"
#include "earbudget/decision/judge.hpp"
#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

namespace {

std::optional<LevelDifference> margin_when_raised(const Criterion& criterion,
                                                  std::vector<ExposurePart> parts,
                                                  double deviations) {
    for (ExposurePart& part : parts) {
        if (part.level && part.uncertainty)
            part.level = *part.level + deviations * *part.uncertainty;
    }
    return margin_of(criterion, parts);
}

}  // namespace

std::optional<MarginRange> margin_range(const PersonResult& result,
                                        const CriterionResult& criterion) {
    if (criterion.quantity == "peak" || !criterion.probability_over) return std::nullopt;
    const auto parts = parts_for(*criterion.criterion, day_of(result));
    const auto low = margin_when_raised(*criterion.criterion, parts, confident_deviations());
    const auto high = margin_when_raised(*criterion.criterion, parts, -confident_deviations());
    if (!low || !high) return std::nullopt;
    return MarginRange{*low, *high};
}

}  // namespace earbudget
