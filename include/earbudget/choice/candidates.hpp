#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Something that a person could wear, with what the day would be by the best estimate.
struct Candidate {
    std::vector<std::string> wears;
    std::optional<LevelA> at_ear_LEX_8h = std::nullopt;
    /// Any limit: exposures, and peaks at the ear.
    bool over = false;
    bool peak_unsure = false;  ///< a peak at the ear is close, or cannot be decided
    std::optional<LevelA> at_ear = std::nullopt;  ///< average while sequences run
    bool stated_metal_free = true;                ///< or worn where metal does no harm
};

/// Nanoseconds of work (WorkMeter) that may go into what one person could wear instead.
struct CandidateBudget {
    double for_days = std::numeric_limits<double>::infinity();   ///< what each would do
    double for_draws = std::numeric_limits<double>::infinity();  ///< how sure it is
};

/// What was looked at of all that a person could wear instead.
struct Candidates {
    std::vector<Candidate> tried = {};  ///< in the order of the catalogue
    std::size_t left_out = 0;           ///< not tried, since all would take too long
    /// Of those that keep every limit by the best estimate: for how many best_within asked how
    /// sure that is, and how many that could have come out better it left out.
    std::size_t asked = 0, not_asked = 0;
    CandidateBudget budget = {};
};

/// The candidate that is best, and whether any limit is exceeded with it more probably than
/// accepted, or cannot be decided.
struct BestCandidate {
    const Candidate* candidate;
    bool perhaps_over;
};

inline constexpr Formula formula_while_scanning{
    "LAeq = 10 lg(1/T · Σ Ti·10^(Li/10)) at the ear over the rows with a sequence",
    "IEC 61672-1:2013, 3.11 (clause from memory)"};

/// Average level at the ear over the rows in which a sequence runs; none without one.
[[nodiscard]] std::optional<LevelA> level_while_scanning(const ExposureDay& day);

/// Leaves the average at the ear over the rows with a sequence; `of` is its key.
void leave_scanning(const Plan& plan, const Person& person, const ExposureDay& day,
                    const std::optional<LevelA>& level, const std::string& of, Trace& trace);

/// Whether a person agrees to wear a protector of this kind.
[[nodiscard]] bool agrees_to(const Person& person, const Protector& protector);

/// Whether a protector is what the person agrees to wear and made for the ear canal.
[[nodiscard]] bool is_comfortable(const Person& person, const Protector& protector);

/// Whether the person comes where metal must not be: in the bore, beside a participant, or at a
/// position near the magnet.
[[nodiscard]] bool comes_near_magnet(const Plan& plan, const Person& person);

/// Why the person may not wear a protector that is stated to hold metal; none where it may be worn.
[[nodiscard]] std::optional<Message> metal_forbids(const Plan& plan, const Person& person,
                                                   const Protector& protector);

/// That a protector is not stated to be free of metal, for a person who comes near the magnet; none
/// where it is stated either way or does no harm.
[[nodiscard]] std::optional<Message> metal_unstated(const Plan& plan, const Person& person,
                                                    const Protector& protector);

/// Why a protector is not offered again: by the plan it does not seat on the person; none where it
/// may be offered. Of two worn together either may be the cause, so that neither is.
[[nodiscard]] std::optional<Message> does_not_seat(const Person& person, const std::string& id);

/// Ids of what the person wears there, or is handed out in its place, although it holds metal, by
/// day and in tasks, each once.
[[nodiscard]] std::vector<std::string> metal_near_magnet(const Plan& plan, const Person& person);

/// Whether a protector is everybody's, or this person's own.
[[nodiscard]] bool is_for(const Plan& plan, const Person& person, const Protector& protector);

/// Whether what is known of a protector allows it for a person: not among what the person cannot
/// wear or what does not seat, comfortable; near the magnet not stated to hold metal; for a
/// participant in the bore, an earmuff, stated to fit the head coil.
[[nodiscard]] bool may_wear(const Plan& plan, const Person& person, const Protector& protector);

/// All that the person could wear instead, singles and pairs, where the policy's method has the
/// data: properly fitted and worn all the time. What the person's fit test was made with is left
/// out, alone and in pairs, since a label does not outweigh the test. Where there are so many that
/// all would take too long (work_size.hpp), a part is tried: the strongest few, and those that by
/// the loudest sounds of the day keep every exposure limit, the best of them (best_within) first.
[[nodiscard]] Candidates candidates_for(const Plan& plan, const Person& person,
                                        const CandidateBudget& budget = {});

/// The best of some candidates: within every limit, then surely so, then at the least useful level
/// or more at the ear, then stated free of metal, then one protector before two, then the quieter
/// of those at or above it, the louder of those below. None when none is within. How sure a
/// candidate is, is asked in this order until one is, or until it would take too long.
[[nodiscard]] std::optional<BestCandidate> best_within(const Plan& plan, const Person& person,
                                                       Candidates& candidates);

}  // namespace earbudget
