#include "earbudget/protection/derating.hpp"

namespace earbudget {

namespace {

// CSA Z94.2-14 (seen in secondary sources); of two worn together 0.65·(higher NRR + 5) (memory).
constexpr double csa_factor_of_two = 0.65;
constexpr LevelDifference csa_allowance_with_A{3.0};

// OSHA technical manual: half of what the label gives (seen in secondary sources); for two worn
// together 5 dB are added after halving (memory).
constexpr double osha_factor = 0.5;

// HSE L108: real-world allowance (seen in secondary sources).
constexpr LevelDifference hse_allowance{4.0};

}  // namespace

namespace derating_rule {

std::optional<NrrRule> of_label(TypeWorn /*type*/) { return NrrRule{}; }

// It says nothing about two worn together.
std::optional<NrrRule> of_niosh(TypeWorn type) {
    if (!type) return std::nullopt;
    return NrrRule{.factor = protector_types[*type].niosh_factor};
}

std::optional<NrrRule> of_osha(TypeWorn /*type*/) { return NrrRule{.factor_at_end = osha_factor}; }

std::optional<NrrRule> of_csa(TypeWorn type) {
    return NrrRule{.factor = type ? protector_types[*type].csa_factor : csa_factor_of_two,
                   .allowance_with_A = csa_allowance_with_A,
                   .second_protector_before_factors = true};
}

std::optional<LevelDifference> deducts_nothing(const Derating& /*derating*/, TypeWorn /*type*/) {
    return LevelDifference(0.0);
}

std::optional<LevelDifference> deducts_4_dB(const Derating& /*derating*/, TypeWorn /*type*/) {
    return hse_allowance;
}

std::optional<LevelDifference> deducts_Ks(const Derating& /*derating*/, TypeWorn type) {
    return practice_deduction(type);
}

std::optional<LevelDifference> deducts_its_own(const Derating& derating, TypeWorn /*type*/) {
    return derating.own;
}

}  // namespace derating_rule

std::optional<LevelDifference> practice_deduction(TypeWorn type) {
    if (!type) return std::nullopt;
    return LevelDifference(protector_types[*type].practice_deduction_dB);
}

std::optional<Derating::Kind> derating_named(std::string_view name) {
    const DeratingRow* row = derating_rows.find(name);
    if (row == nullptr || row->in_files != name) return std::nullopt;
    return row->key;
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

}  // namespace earbudget
