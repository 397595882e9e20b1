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
            .source = "stated"};
}

StatedUncertainty by_default(UncertaintyParts parts, std::string_view why) {
    return {.parts = parts,
            .whole = parts.combined(),
            .source = fmt::format("default of {:.1f} dB: {}", parts.combined().dB(), why),
            .is_default = true};
}

}  // namespace

StatedUncertainty stated_or_default_uncertainty(const SoundLevels& levels, const Origin& origin) {
    if (levels.uncertainty) return stated(levels);
    if (origin.how == "measured") {
        const bool is_class_1 = origin.instrument_class == 1U;
        return by_default(
            {.instrument = is_class_1 ? uncertainty_of_class_1 : uncertainty_of_other_instruments,
             .position = uncertainty_of_position},
            is_class_1 ? "measured with a class 1 instrument (ISO 9612:2009, annex C)"
                       : "measured, instrument not stated to be class 1 (ISO 9612:2009, "
                         "annex C)");
    }
    if (origin.how == "entered") {
        return by_default({.instrument = entered}, "entered from a document (own choice)");
    }
    return by_default({.instrument = guessed}, origin.how == "guessed"
                                                   ? "guessed (own choice)"
                                                   : "no origin stated (own choice)");
}

StatedUncertainty stated_or_default_uncertainty(const Sequence& card) {
    return stated_or_default_uncertainty(card.levels, card.origin);
}

StatedUncertainty stated_or_default_uncertainty_in_plan(const SoundLevels& levels) {
    if (levels.uncertainty) return stated(levels);
    return by_default({.instrument = entered}, "entered in the plan (own choice)");
}

std::string measurement_of(const Origin& origin) {
    return fmt::format("{}\n{}\n{}", origin.who, origin.when, origin.instrument);
}

}  // namespace earbudget
