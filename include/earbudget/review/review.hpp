#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/review_terms.hpp"
#include "earbudget/review/review_checks.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// Criteria with those among them that are made for another age group.
struct ReviewCriteria {
    std::vector<Criterion> criteria = {};
    std::vector<std::string> for_others = {};  ///< ids
};

/// The criteria that a review takes by default: those of the role by default, then every other
/// published one for it that need not be named; of the two for the public that of the age group.
/// For adults the children's stands beside; all who are younger are held to it, neonates too, for
/// whom no published limit is known.
[[nodiscard]] ReviewCriteria review_criteria(Role role, AgeGroup age);

/// Whether a criterion can speak against a sequence: no classification, and none that is made for
/// another age group.
[[nodiscard]] bool can_forbid(const Criterion& criterion, const ReviewTerms& terms);

/// How long a sequence may be heard a day, with nothing else in the day.
struct PermittedTime {
    enum class Kind {
        Limited,    ///< for `a_day` and no longer
        Unlimited,  ///< a whole day of 24 h and nothing exceeded
        NoTime      ///< not at all
    };
    Kind kind = Kind::NoTime;
    Seconds a_day{0.0};  ///< 24 h where unlimited
    Message reason = {};

    [[nodiscard]] bool allows(Seconds time) const { return a_day >= time; }
};

inline constexpr auto permitted_kinds = rows_of<NameRow<PermittedTime::Kind>>({
    {PermittedTime::Kind::Limited, "limited"},
    {PermittedTime::Kind::Unlimited, "unlimited"},
    {PermittedTime::Kind::NoTime, "no-time"},
});

/// As written in JSON: "limited", "unlimited", "no-time".
[[nodiscard]] constexpr std::string_view name_of(PermittedTime::Kind kind) {
    return permitted_kinds[kind].name;
}

/// The permitted time by one criterion.
struct PermittedByCriterion {
    const Criterion* criterion;                        ///< owned by the terms
    std::optional<PermittedTime> best = std::nullopt;  ///< best estimate; none: not decidable
    /// Over with no more than the accepted probability; none: not decidable.
    std::optional<PermittedTime> confident = std::nullopt;
    /// No more reduction than a poor fit gives; none where nothing is worn.
    std::optional<PermittedTime> poorly_seated = std::nullopt;
    /// Of a limit on the peak at the ear: as this choice leaves it. Where that is over, no time is
    /// permitted; poorly seated likewise by the peak outside.
    std::optional<CriterionResult> peak = std::nullopt;
    /// Whether it decides what may be worn: not what counts no protectors beside limits that do
    /// (limits_for_protection), nor what cannot forbid anything (can_forbid).
    bool decides = true;
};

/// Something that could be worn while the sequence runs, properly fitted and all the time.
struct ReviewedChoice {
    std::vector<std::string> wears;
    std::optional<Method> method = std::nullopt;
    Derating derating = {};
    std::optional<LevelA> at_ear = std::nullopt;
    std::optional<LevelA> poorly_seated_at_ear = std::nullopt;
    std::vector<PermittedByCriterion> permitted = {};  ///< one a criterion, in the terms' order
    bool can_be_worn = true;                           ///< a participant: it fits the head coil
    Message undecidable = {};                          ///< why nothing can be said; else empty
    std::vector<Message> notes = {};

    /// The deciding criterion that permits least by the best estimate; null where nothing can be
    /// said.
    [[nodiscard]] const PermittedByCriterion* tightest() const;
    /// The same poorly seated.
    [[nodiscard]] const PermittedByCriterion* tightest_poorly_seated() const;
    /// Whether every deciding criterion permits this time a day, of which there is one at least.
    [[nodiscard]] bool allows(Seconds time) const;
};

/// What is said of approving a sequence.
struct Recommendation {
    enum class Code {
        OnCondition,     ///< may be approved on conditions, whatever is worn
        OnlyWith,        ///< only with something of the catalogue, on conditions
        NotBeforeKnown,  ///< something must be known first
        NotAsItIs        ///< a limit is exceeded by all that is there
    };
    Code code = Code::NotAsItIs;
    Message says = {};
    std::vector<Message> conditions = {};

    /// Whether it is to approve the sequence, also on conditions or with named protection.
    [[nodiscard]] bool approves() const {
        return code == Code::OnCondition || code == Code::OnlyWith;
    }
};

inline constexpr auto recommendation_codes = rows_of<NameRow<Recommendation::Code>>({
    {Recommendation::Code::OnCondition, "on-condition"},
    {Recommendation::Code::OnlyWith, "only-with"},
    {Recommendation::Code::NotBeforeKnown, "not-before-known"},
    {Recommendation::Code::NotAsItIs, "not-as-it-is"},
});

/// As written in JSON: "on-condition", "only-with", "not-before-known", "not-as-it-is".
[[nodiscard]] constexpr std::string_view name_of(Recommendation::Code code) {
    return recommendation_codes[code].name;
}

/// One sequence on its own.
struct SequenceReview {
    Sequence sequence;
    std::vector<ReviewedChoice> choices = {};  ///< nothing worn first, then in catalogue order
    std::vector<Message> not_permitted = {};
    std::vector<CriterionResult> peaks = {};  ///< one a criterion with a peak limit, nothing worn
    std::vector<ReviewCheck> checks = {};
    Recommendation recommendation = {};
    Working working = {};  ///< of the permitted times and the peaks, where asked for

    /// Whether a peak outside is over its limit, or not decidable: by a bound is not enough here.
    /// Of limits on the peak at the ear each choice says it (PermittedByCriterion::peak).
    [[nodiscard]] Verdict peak_verdict() const;
};

/// Reviews one sequence, heard at the ear position of its card with nothing else in the day. The
/// criteria in the result are those of `terms`, which must outlive it.
///
/// A choice for which the card or the catalogue lacks the data, or for which no publication defines
/// the derating, is undecidable.
[[nodiscard]] SequenceReview review(const Sequence& sequence, const ReviewTerms& terms,
                                    Tracing tracing = Tracing::Off);

/// Adds what to look at where a sequence replaces another: the timing of both must be named.
[[nodiscard]] std::optional<ReviewCheck> check_of_timing(const Sequence& sequence,
                                                         const Sequence& replaced);

/// Adds until when a card is used, where it says so or another of these cards stands for it; none
/// else.
[[nodiscard]] std::optional<ReviewCheck> check_of_validity(const Sequence& sequence,
                                                           const std::vector<Sequence>& cards,
                                                           const std::string& date);

/// One level of a card before and now, dB; none: not stated.
struct LevelChange {
    std::string name;  ///< as on cards: "LAeq", "uncertainty"; a band by its frequency, "500 Hz"
    std::optional<double> before;
    std::optional<double> now;

    [[nodiscard]] std::optional<double> difference() const {
        return before && now ? std::optional(*now - *before) : std::nullopt;
    }
};

/// Every level that at least one of two cards states (bands unweighted), and their uncertainties,
/// stated or by default.
[[nodiscard]] std::vector<LevelChange> level_changes(const Sequence& before, const Sequence& now);

/// A permitted time a day before and now, by the best estimate; none: not decidable.
struct TimeChange {
    std::vector<std::string> wears;
    const Criterion* criterion;
    std::optional<PermittedTime> before = std::nullopt;
    std::optional<PermittedTime> now = std::nullopt;
    /// The same with no more than the accepted probability of being over.
    std::optional<PermittedTime> confident_before = std::nullopt, confident_now = std::nullopt;
};

/// Every choice and criterion of two reviews by the same terms.
[[nodiscard]] std::vector<TimeChange> time_changes(const SequenceReview& before,
                                                   const SequenceReview& now);

}  // namespace earbudget
