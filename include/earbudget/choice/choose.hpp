#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Something that a person could wear, and how well it does.
struct RankedChoice {
    std::vector<std::string> wears;
    std::optional<Method> method = std::nullopt;  ///< none: no method has the data
    std::optional<LevelA> at_ear_LEX_8h = std::nullopt;
    std::optional<LevelA> while_scanning = std::nullopt;  ///< at the ear, average over sequences
    /// Of the tightest of all limits that decide, also of those that nothing worn changes, as
    /// `assess` has it of a person who wears this well seated, all the time (tightest_limit).
    std::optional<LevelDifference> worst_margin = std::nullopt;
    /// The least of the limits that what is worn changes: on exposures, and on peaks at the ear
    /// that are stated.
    std::optional<LevelDifference> margin_by_wearing = std::nullopt;
    /// By the limits on the peak at the ear, part of `verdict`; none where no such limit counts or
    /// no peak is heard.
    std::optional<Verdict> peak_at_ear = std::nullopt;
    /// By the limits that what is worn changes.
    Verdict verdict = Verdict::Unknown;
    /// By all that decide, as `worst_margin`; never better.
    Verdict verdict_by_all = Verdict::Unknown;
    bool limited_by_origin = false;      ///< of `verdict`, as CriterionResult::limited_by_origin
    bool all_limited_by_origin = false;  ///< the same of `verdict_by_all`
    bool made_for_others = false;        ///< as CriterionResult::made_for_others, of all limits
    /// The highest of all exposure limits that count; none where nothing can be said and where it
    /// is over by the best estimate (MonteCarloDay::sure_probability).
    std::optional<double> probability_over = std::nullopt;
    std::size_t draws = 0;  ///< behind it; 0 where a bound alone says that it is below 0.0005
    std::optional<Verdict> with_poor_fit = std::nullopt;
    bool more_than_useful = false;  ///< below the policy's least useful level
    bool fits_head_coil = true;     ///< or need not: staff
    bool stated_metal_free = true;  ///< or need not be
    bool comfortable = true;        ///< within what the person agrees to and the canal allows
    bool worn_now = false;          ///< what the person wears in the plan
    std::optional<IntercomAtEar> intercom = std::nullopt;
    std::vector<MethodOutcome> methods = {};
    Message reason = {};              ///< why behind the one above; empty for the first
    std::vector<Message> notes = {};  ///< what speaks for and against it
    /// How levels, LEX,8h and margins came about; null where that was not asked for.
    std::shared_ptr<const Working> working = nullptr;

    /// As CriterionResult::by_probability.
    [[nodiscard]] Verdict by_probability() const {
        return limited_by_origin ? Verdict::Within : verdict;
    }
    /// Whether it can be handed out: it keeps every limit by the best estimate, fits the head coil
    /// and is what the person agrees to and has ear canals for.
    [[nodiscard]] bool is_answer() const;
};

/// What may not be worn at all, and why.
struct NotPermitted {
    std::vector<std::string> wears;
    Message why;
};

/// A rating that would keep every limit, for one type of protector where a derating depends on it.
struct RequiredByType {
    ProtectorType type;
    std::optional<LevelDifference> SNR;
    std::optional<LevelDifference> NRR;
    std::optional<LevelDifference> every_band;
};

inline constexpr Formula formula_of_required_reduction{
    "the least x in steps of 0.1 dB with which LA − x keeps every exposure limit: the margin "
    "without protection taken away, rounded up, where nothing depends on a threshold",
    "search; derived"};
inline constexpr Formula formula_of_required_rating{
    "the least rating x in steps of 0.1 dB with which the day, predicted by its method, keeps "
    "every exposure limit",
    "search; derived"};

/// Reduction that would keep every exposure limit, to the next tenth of a decibel; each absent
/// where the cards lack what it starts from, or where no reduction would do.
struct RequiredReduction {
    std::optional<LevelDifference> at_ear;  ///< of the A-weighted level, nothing deducted
    /// The same with a probability of being over of no more than accepted.
    std::optional<LevelDifference> confident_at_ear;
    /// Of the C-weighted peak by peak_reduction, M − Ks or L − Ks − 5 dB: what the limits on the
    /// peak at the ear ask for; absent where they are kept without, or no peak is stated.
    std::optional<LevelDifference> peak_at_ear;
    /// Ratings at 84 %, with the policy's derating where it is defined for them; absent where that
    /// depends on the type of protector.
    std::optional<LevelDifference> SNR;
    std::optional<LevelDifference> NRR;
    std::optional<LevelDifference> every_band;  ///< assumed protection in each octave band
    std::vector<RequiredByType> by_type = {};   ///< where it depends on the type
    Working working = {};                       ///< where it was asked for
};

struct PersonChoice {
    const Person* person;               ///< owned by the plan
    std::vector<RankedChoice> ranking;  ///< best first
    RankedChoice unprotected = {};      ///< wearing nothing
    std::vector<NotPermitted> not_permitted = {};
    /// What to know whatever is worn.
    std::vector<Message> notes = {};
    /// By the limits on the peak outside: the same whatever is worn. None where there is no such
    /// limit or no peak is heard.
    std::optional<Verdict> peak = std::nullopt;
    std::vector<CriterionResult> peaks_outside = {};  ///< what `peak` is the worst of
    /// By the limits that decide and that nothing worn changes: `peaks_outside`, and exposures that
    /// count no protectors.
    std::vector<CriterionResult> whatever_is_worn = {};
    /// What of the day with the answer stands in files of examples (limits/unmeasured.hpp).
    std::vector<Message> examples = {};
    /// Where nothing keeps every exposure limit, not even wearing nothing.
    std::optional<RequiredReduction> required = std::nullopt;

    /// The first in the ranking that can be handed out; null where there is none.
    [[nodiscard]] const RankedChoice* answer() const;
    [[nodiscard]] bool has_answer() const { return answer() != nullptr; }
    /// Whether every exposure limit is kept with nothing worn, by somebody who is no participant.
    [[nodiscard]] bool needs_none() const {
        return unprotected.by_probability() == Verdict::Within && person->role != Role::Participant;
    }

    /// How the person comes out with the answer, or with nothing where that is enough or there is
    /// none; by the peaks where those are over or cannot be decided. Unknown too where nothing is
    /// an answer, but something that could be worn cannot be decided.
    [[nodiscard]] Verdict verdict() const;
};

/// Every protector and permitted pair of the catalogue for each person of the plan, properly fitted
/// and worn all the time, best first: within every limit and surely so, then not more protection
/// than useful, then fit for the head coil and stated to be free of metal, then what the person
/// agrees to, then one protector before two, then closest to the least useful level in whole
/// decibels, then what is worn already.
///
/// A verdict holds the limits on the peak at the ear; those on the peak outside are apart
/// (PersonChoice::peak). Limits that count no protectors are left out, and said in the notes; both
/// are in verdict_by_all and worst_margin, which are those of `assess`. A
/// protector that is not free of metal is not permitted for who comes near the magnet; nor is what
/// a person cannot wear or what does not seat on the person by the plan. Unknown is what the method
/// lacks data for, what a fit test of a part of it speaks against, and what leaves out octave bands
/// that could put the person over.
[[nodiscard]] std::vector<PersonChoice> choose(const Plan& plan, Tracing tracing = Tracing::Off);

/// The reduction that would keep every exposure limit of a person who now wears nothing.
[[nodiscard]] RequiredReduction required_reduction(const Plan& plan, const Person& person);

/// How it came about; `margin` is the worst one wearing nothing.
[[nodiscard]] Working working_of(const RequiredReduction& required, const Person& person,
                                 const std::optional<LevelDifference>& margin);

}  // namespace earbudget
