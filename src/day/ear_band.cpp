#include "earbudget/day/ear_band.hpp"

#include "earbudget/day/warning.hpp"

namespace earbudget {

namespace {

// EN 458, levels under the protector, dB(A).
constexpr LevelA insufficient_above{85.0};
constexpr LevelA ideal_up_to{80.0};
constexpr LevelA ideal_from{75.0};

}  // namespace

EarBand ear_band(LevelA at_ear) {
    if (at_ear > insufficient_above) return EarBand::Insufficient;
    if (at_ear > ideal_up_to) return EarBand::AcceptableHigh;
    if (at_ear >= ideal_from) return EarBand::Ideal;
    return at_ear >= useful_from_by_EN_458 ? EarBand::AcceptableLow : EarBand::MoreThanUseful;
}

std::string_view name_of(EarBand band) {
    switch (band) {
        case EarBand::Insufficient:
            return "insufficient";
        case EarBand::AcceptableHigh:
        case EarBand::AcceptableLow:
            return "acceptable";
        case EarBand::Ideal:
            return "ideal";
        case EarBand::MoreThanUseful:
            return "more-than-useful";
    }
    return "";
}

Message by_EN_458(LevelA at_ear, bool within_limits) {
    const EarBand band = ear_band(at_ear);
    return say<WarningPhrase::ByEN458>(name_of(band),
                                       band == EarBand::Insufficient && within_limits);
}

}  // namespace earbudget
