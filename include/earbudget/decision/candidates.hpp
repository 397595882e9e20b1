#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/decision/assessment.hpp"

namespace earbudget {

/// Something that a person could wear, with the day it would give.
struct Candidate {
    std::vector<std::string> wears;
    HearingDay day;
    /// Any limit, by the best estimate: exposures, and peaks at the ear.
    bool over = false;
    bool perhaps_over = false;  ///< any of them more probably than accepted, or not decidable
    std::optional<LevelA> at_ear = std::nullopt;  ///< average while sequences run
    bool stated_metal_free = true;                ///< or worn where metal does no harm
};

inline constexpr Formula formula_while_scanning{
    "LAeq = 10 lg(1/T · Σ Ti·10^(Li/10)) at the ear over the rows with a sequence",
    "IEC 61672-1:2013, 3.11 (clause from memory)"};

/// Average level at the ear over the rows in which a sequence runs; none without one.
[[nodiscard]] std::optional<LevelA> level_while_scanning(const HearingDay& day);

/// Whether a person agrees to wear a protector of this kind.
[[nodiscard]] bool agrees_to(const Person& person, const Protector& protector);

/// Whether a protector is what the person agrees to wear and made for the ear canal.
[[nodiscard]] bool is_comfortable(const Person& person, const Protector& protector);

/// Whether the person comes where metal must not be: in the bore, beside a participant, or at a
/// position near the magnet.
[[nodiscard]] bool comes_near_magnet(const Plan& plan, const Person& person);

/// Why the person may not wear a protector that is stated to hold metal; none where it may be worn.
[[nodiscard]] std::optional<std::string> metal_forbids(const Plan& plan, const Person& person,
                                                       const Protector& protector);

/// That a protector is not stated to be free of metal, for a person who comes near the magnet; none
/// where it is stated either way or does no harm.
[[nodiscard]] std::optional<std::string> metal_unstated(const Plan& plan, const Person& person,
                                                        const Protector& protector);

/// Why a protector is not offered again: by the plan it does not seat on the person; none where it
/// may be offered. Of two worn together either may be the cause, so that neither is.
[[nodiscard]] std::optional<std::string> does_not_seat(const Person& person, const std::string& id);

/// Ids of what the person wears there although it holds metal, by day and in tasks, each once.
[[nodiscard]] std::vector<std::string> metal_near_magnet(const Plan& plan, const Person& person);

/// Whether what is known of a protector allows it for a person: not among what the person cannot
/// wear or what does not seat, comfortable; near the magnet not stated to hold metal; for a
/// participant in the bore, an earmuff, stated to fit the head coil.
[[nodiscard]] bool may_wear(const Plan& plan, const Person& person, const Protector& protector);

/// All that the person could wear instead, singles and pairs, where the policy's method has the
/// data: properly fitted and worn all the time. What the person's fit test was made with is left
/// out, alone and in pairs, since a label does not outweigh the test.
[[nodiscard]] std::vector<Candidate> candidates_for(const Plan& plan, const Person& person);

/// The best of some candidates: within every limit, then surely so (not perhaps_over), then at
/// `least_useful` or more at the ear, then stated free of metal, then one protector before two,
/// then the quieter of those at or above it, the louder of those below. Null when none is within.
[[nodiscard]] const Candidate* best_within(const std::vector<Candidate>& candidates,
                                           LevelA least_useful);

}  // namespace earbudget
