#include "earbudget/protection/derating.hpp"

namespace earbudget {

namespace {

// NIOSH 98-126: 25 % off an earmuff, 50 % off a formable plug, 70 % off any other plug
// (seen in secondary sources). It says nothing about two worn together.
std::optional<double> niosh_factor(std::optional<ProtectorType> type) {
    if (!type) return std::nullopt;
    switch (*type) {
        case ProtectorType::Earmuff:
            return 0.75;
        case ProtectorType::FoamPlug:
            return 0.50;
        case ProtectorType::PremouldedPlug:
        case ProtectorType::CustomPlug:
        case ProtectorType::CanalCap:
            return 0.30;
    }
    return std::nullopt;
}

// CSA Z94.2-14 (seen in secondary sources); of two worn together 0.65·(higher NRR + 5) (memory).
double csa_factor(std::optional<ProtectorType> type) {
    constexpr double plug = 0.50;
    constexpr double earmuff = 0.70;
    constexpr double two_worn_together = 0.65;
    if (!type) return two_worn_together;
    return *type == ProtectorType::Earmuff ? earmuff : plug;
}
constexpr LevelDifference csa_allowance_with_A{3.0};

// OSHA technical manual: half of what the label gives (seen in secondary sources); for two worn
// together 5 dB are added after halving (memory).
constexpr double osha_factor = 0.5;

// HSE L108: real-world allowance (seen in secondary sources).
constexpr LevelDifference hse_allowance{4.0};

}  // namespace

// TRLV Lärm part 3, DGUV Regel 112-194: practice deduction (seen).
std::optional<LevelDifference> practice_deduction(std::optional<ProtectorType> type) {
    if (!type) return std::nullopt;
    switch (*type) {
        case ProtectorType::FoamPlug:
            return LevelDifference(9.0);
        case ProtectorType::PremouldedPlug:
        case ProtectorType::CanalCap:
        case ProtectorType::Earmuff:
            return LevelDifference(5.0);
        case ProtectorType::CustomPlug:
            return LevelDifference(3.0);  // with function check
    }
    return std::nullopt;
}

std::string_view name_of(Derating::Kind kind) {
    switch (kind) {
        case Derating::Kind::None:
            return "none";
        case Derating::Kind::Niosh:
            return "niosh";
        case Derating::Kind::OshaHalf:
            return "osha-half";
        case Derating::Kind::Csa:
            return "csa";
        case Derating::Kind::Uk4dB:
            return "uk-4dB";
        case Derating::Kind::Trlv:
            return "trlv";
        case Derating::Kind::Own:
            return "own";
    }
    return "";
}

std::string_view source_of(Derating::Kind kind) {
    switch (kind) {
        case Derating::Kind::None:
            return "no derating";
        case Derating::Kind::Niosh:
            return "NIOSH 98-126";
        case Derating::Kind::OshaHalf:
            return "OSHA technical manual (secondary sources, edition not confirmed)";
        case Derating::Kind::Csa:
            return "CSA Z94.2-14";
        case Derating::Kind::Uk4dB:
            return "HSE L108 (secondary sources, edition not confirmed)";
        case Derating::Kind::Trlv:
            return "TRLV Lärm part 3, DGUV Regel 112-194 (editions not confirmed)";
        case Derating::Kind::Own:
            return "the facility's own deduction";
    }
    return "";
}

std::string_view caution_on(Derating::Kind kind) {
    if (kind == Derating::Kind::Trlv) {
        return "its deductions go with the German limit under protectors, LEX,8h 85 dB(A) and "
               "LpC,peak 137 dB(C) (DGUV Regel 112-194; LärmVibrationsArbSchV § 8(2), clause from "
               "memory), which is criterion de-under-protector, for staff, where it is named";
    }
    if (kind != Derating::Kind::Niosh) return "";
    return "NIOSH replaced this derating in January 2025 (2025-104) by individual fit testing; "
           "prefer a PAR where there is one";
}

bool is_defined(Derating::Kind kind, Method method) {
    switch (kind) {
        case Derating::Kind::Niosh:
        case Derating::Kind::OshaHalf:
        case Derating::Kind::Csa:
            return method == Method::Nrr;
        case Derating::Kind::None:
        case Derating::Kind::Uk4dB:
        case Derating::Kind::Trlv:
        case Derating::Kind::Own:
            return true;
    }
    return false;
}

Formula formula_of(const NrrRule& rule, bool with_C) {
    const std::string_view source = source_of(Method::Nrr);
    if (rule.second_protector_before_factors) {
        return with_C ? Formula{"L'A = LC − factor·(NRR + pair)", source}
                      : Formula{"L'A = LA − (factor·(NRR + pair) − allowance)", source};
    }
    return with_C ? Formula{"L'A = LC − factor at end·factor·NRR − pair", source}
                  : Formula{"L'A = LA − factor at end·(factor·NRR − allowance) − pair", source};
}

std::optional<NrrRule> nrr_rule(Derating::Kind kind, std::optional<ProtectorType> type) {
    NrrRule rule;
    switch (kind) {
        case Derating::Kind::Niosh: {
            const auto factor = niosh_factor(type);
            if (!factor) return std::nullopt;
            rule.factor = *factor;
            return rule;
        }
        case Derating::Kind::Csa:
            rule.factor = csa_factor(type);
            rule.allowance_with_A = csa_allowance_with_A;
            rule.second_protector_before_factors = true;
            return rule;
        case Derating::Kind::OshaHalf:
            rule.factor_at_end = osha_factor;
            return rule;
        case Derating::Kind::None:
        case Derating::Kind::Uk4dB:
        case Derating::Kind::Trlv:
        case Derating::Kind::Own:
            return rule;
    }
    return std::nullopt;
}

std::optional<LevelDifference> deduction(const Derating& derating,
                                         std::optional<ProtectorType> type) {
    switch (derating.kind) {
        case Derating::Kind::Uk4dB:
            return hse_allowance;
        case Derating::Kind::Trlv:
            return practice_deduction(type);
        case Derating::Kind::Own:
            return derating.own;
        case Derating::Kind::None:
        case Derating::Kind::Niosh:
        case Derating::Kind::OshaHalf:
        case Derating::Kind::Csa:
            return LevelDifference(0.0);
    }
    return std::nullopt;
}

}  // namespace earbudget
