#pragma once

#include <optional>
#include <string_view>

#include "earbudget/acoustics/level_difference.hpp"
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

/// As written in files: "none", "niosh", "osha-half", "csa", "uk-4dB", "trlv"; "own" for a number.
[[nodiscard]] std::string_view name_of(Derating::Kind kind);

/// The document that defines it.
[[nodiscard]] std::string_view source_of(Derating::Kind kind);

/// What must be known to whoever uses it, possibly empty.
[[nodiscard]] std::string_view caution_on(Derating::Kind kind);

/// True where a publication (or, for its own deduction, the facility) defines the combination.
[[nodiscard]] bool is_defined(Derating::Kind kind, Method method);

/// How a derating changes the NRR method:
///   with A: reduction = factor_at_end · (factor · NRR − allowance_with_A)
///   with C: reduction = factor_at_end · factor · NRR
struct NrrRule {
    double factor = 1.0;
    LevelDifference allowance_with_A = nrr_allowance_with_A;
    double factor_at_end = 1.0;
    /// Whether the 5 dB for a second protector (pair.hpp) go on the NRR or on the reduction.
    bool second_protector_before_factors = false;
};

/// The NRR method with a rule's factors; "pair" is the 5 dB for a second protector, else 0.
[[nodiscard]] Formula formula_of(const NrrRule& rule, bool with_C);

inline constexpr Formula formula_of_deduction{"reduction = reduction by the method − deduction",
                                              "the derating's"};

/// The practice deduction Ks of TRLV Lärm part 3 and DGUV Regel 112-194: 9 dB of a formable plug,
/// 3 dB of a custom plug with function check, 5 dB of any other; none of a plug under an earmuff.
[[nodiscard]] std::optional<LevelDifference> practice_deduction(std::optional<ProtectorType> type);

/// The rule of a derating for this type; none where it says nothing about the type.
/// `type` none is a plug under an earmuff.
[[nodiscard]] std::optional<NrrRule> nrr_rule(Derating::Kind kind,
                                              std::optional<ProtectorType> type);

/// Deduction in dB from the reduction of any method; none where the derating says nothing about
/// this type. `type` none is a plug under an earmuff.
[[nodiscard]] std::optional<LevelDifference> deduction(const Derating& derating,
                                                       std::optional<ProtectorType> type);

}  // namespace earbudget
