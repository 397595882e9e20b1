#include "earbudget/study/sequence.hpp"

#include <fmt/format.h>

namespace earbudget {

namespace {

constexpr LevelDifference entered{3.0};  // ours
constexpr LevelDifference guessed{5.0};  // ours

StatedUncertainty stated(const SoundLevels& levels) {
    return {.parts = levels.uncertainty_parts.value_or(
                UncertaintyParts{.instrument = *levels.uncertainty}),
            .whole = *levels.uncertainty,
            .source = say<OriginPhrase::Stated>()};
}

template <OriginPhrase why>
StatedUncertainty by_default(const UncertaintyParts& parts) {
    return {.parts = parts,
            .whole = parts.combined(),
            .source = say<why>(parts.combined()),
            .is_default = true};
}

}  // namespace

StatedUncertainty stated_or_default_uncertainty(const SoundLevels& levels, const Origin& origin) {
    using enum OriginPhrase;
    if (levels.uncertainty) return stated(levels);
    if (origin.how == "measured") {
        UncertaintyParts parts{.instrument = uncertainty_of_other_instruments,
                               .position = uncertainty_of_position};
        if (origin.instrument_class != 1U) return by_default<MeasuredOtherwise>(parts);
        parts.instrument = uncertainty_of_class_1;
        return by_default<MeasuredByClass1>(parts);
    }
    if (origin.how == "entered") return by_default<Entered>({.instrument = entered});
    return origin.how == "guessed" ? by_default<Guessed>({.instrument = guessed})
                                   : by_default<NoOrigin>({.instrument = guessed});
}

StatedUncertainty stated_or_default_uncertainty(const Sequence& card) {
    return stated_or_default_uncertainty(card.levels, card.origin);
}

StatedUncertainty stated_or_default_uncertainty_in_plan(const SoundLevels& levels) {
    if (levels.uncertainty) return stated(levels);
    return by_default<OriginPhrase::EnteredInPlan>({.instrument = entered});
}

std::string measurement_of(const Origin& origin) {
    return fmt::format("{}\n{}\n{}", origin.who, origin.when, origin.instrument);
}

}  // namespace earbudget
