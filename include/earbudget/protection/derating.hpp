#pragma once

#include <optional>
#include <string_view>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/computing/rows.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/protector.hpp"

namespace earbudget {

/// A published or own correction for protectors doing less in practice than on the label.
struct Derating {
    enum class Kind { None, Niosh, OshaHalf, Csa, Uk4dB, Trlv, Own };

    Kind kind = Kind::None;
    LevelDifference own = LevelDifference(0.0);  ///< the facility's own deduction, for Kind::Own

    bool operator==(const Derating&) const = default;
};

/// How a derating changes the NRR method:
///   with A: reduction = factor_at_end · (factor · NRR − allowance_with_A)
///   with C: reduction = factor_at_end · factor · NRR
struct NrrRule {
    double factor = 1.0;
    LevelDifference allowance_with_A = nrr_allowance_with_A;
    double factor_at_end = 1.0;
    /// Whether the 5 dB for a second protector (worn.hpp) go on the NRR or on the reduction.
    bool second_protector_before_factors = false;
};

/// What is worn as deratings see it; no type: a plug under an earmuff.
using TypeWorn = std::optional<ProtectorType>;

/// The rules of the NRR, and the deductions from the reduction of any method; none where the
/// document says nothing about what is worn.
namespace derating_rule {
[[nodiscard]] std::optional<NrrRule> of_label(TypeWorn type);
[[nodiscard]] std::optional<NrrRule> of_niosh(TypeWorn type);
[[nodiscard]] std::optional<NrrRule> of_osha(TypeWorn type);
[[nodiscard]] std::optional<NrrRule> of_csa(TypeWorn type);
[[nodiscard]] std::optional<LevelDifference> deducts_nothing(const Derating&, TypeWorn type);
[[nodiscard]] std::optional<LevelDifference> deducts_4_dB(const Derating&, TypeWorn type);
[[nodiscard]] std::optional<LevelDifference> deducts_Ks(const Derating&, TypeWorn type);
[[nodiscard]] std::optional<LevelDifference> deducts_its_own(const Derating&, TypeWorn type);
}  // namespace derating_rule

/// With which methods a derating is defined.
enum class DefinedWith { EveryMethod, NrrAlone };

struct DeratingRow {
    Derating::Kind key;
    std::string_view name;      ///< as written in JSON, and in files but for a deduction in dB
    std::string_view in_files;  ///< as accepted in files
    std::string_view source;    ///< the document that defines it
    DefinedWith with;
    bool by_type;  ///< whether it differs between types of protector
    std::optional<NrrRule> (*nrr_rule)(TypeWorn type);
    std::optional<LevelDifference> (*deduction)(const Derating& derating, TypeWorn type);
    std::string_view caution = {};  ///< what must be known to whoever uses it, possibly empty
};

inline constexpr auto derating_rows = rows_of<DeratingRow>({
    {Derating::Kind::None, "none", "none", "no derating", DefinedWith::EveryMethod, false,
     derating_rule::of_label, derating_rule::deducts_nothing},
    {Derating::Kind::Niosh, "niosh", "niosh", "NIOSH 98-126", DefinedWith::NrrAlone, true,
     derating_rule::of_niosh, derating_rule::deducts_nothing,
     "NIOSH replaced this derating in January 2025 (2025-104) by individual fit testing; "
     "prefer a PAR where there is one"},
    {Derating::Kind::OshaHalf, "osha-half", "osha-half",
     "OSHA technical manual (secondary sources, edition not confirmed)", DefinedWith::NrrAlone,
     false, derating_rule::of_osha, derating_rule::deducts_nothing},
    {Derating::Kind::Csa, "csa", "csa", "CSA Z94.2-14", DefinedWith::NrrAlone, true,
     derating_rule::of_csa, derating_rule::deducts_nothing},
    {Derating::Kind::Uk4dB, "uk-4dB", "uk-4dB",
     "HSE L108 (secondary sources, edition not confirmed)", DefinedWith::EveryMethod, false,
     derating_rule::of_label, derating_rule::deducts_4_dB},
    {Derating::Kind::Trlv, "trlv", "trlv",
     "TRLV Lärm part 3, DGUV Regel 112-194 (editions not confirmed)", DefinedWith::EveryMethod,
     true, derating_rule::of_label, derating_rule::deducts_Ks,
     "its deductions go with the German limit under protectors, LEX,8h 85 dB(A) and "
     "LpC,peak 137 dB(C) (DGUV Regel 112-194; LärmVibrationsArbSchV § 8(2), clause from "
     "memory), which is criterion de-under-protector, for staff, where it is named"},
    {Derating::Kind::Own, "own", "{ dB = … }", "the facility's own deduction",
     DefinedWith::EveryMethod, false, derating_rule::of_label, derating_rule::deducts_its_own},
});

/// As written in JSON: "none", "niosh", "osha-half", "csa", "uk-4dB", "trlv", "own".
[[nodiscard]] constexpr std::string_view name_of(Derating::Kind kind) {
    return derating_rows[kind].name;
}

/// The document that defines it.
[[nodiscard]] constexpr std::string_view source_of(Derating::Kind kind) {
    return derating_rows[kind].source;
}

/// What must be known to whoever uses it, possibly empty.
[[nodiscard]] constexpr std::string_view caution_on(Derating::Kind kind) {
    return derating_rows[kind].caution;
}

/// True where a publication (or, for its own deduction, the facility) defines the combination.
[[nodiscard]] constexpr bool is_defined(Derating::Kind kind, Method method) {
    return derating_rows[kind].with == DefinedWith::EveryMethod || method == Method::Nrr;
}

/// The deratings that files and options ask for by a name: all but a deduction in dB.
inline constexpr auto named_deratings =
    derating_rows.where<6>([](const DeratingRow& row) { return row.in_files == row.name; });

/// That of them with this name; none where none has it.
[[nodiscard]] std::optional<Derating::Kind> derating_named(std::string_view name);

/// The NRR method with a rule's factors; "pair" is the 5 dB for a second protector, else 0.
[[nodiscard]] Formula formula_of(const NrrRule& rule, bool with_C);

inline constexpr Formula formula_of_deduction{"reduction = reduction by the method − deduction",
                                              "the derating's"};

/// The practice deduction Ks of TRLV Lärm part 3 and DGUV Regel 112-194; none of a plug under an
/// earmuff.
[[nodiscard]] std::optional<LevelDifference> practice_deduction(TypeWorn type);

}  // namespace earbudget
