#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/study/visits.hpp"

namespace earbudget {

inline constexpr Formula formula_of_heaviest_week{
    "the week, 7 days in a row, of those that the least spacing of the visits permits, with the "
    "worst verdict by the criterion, and of these with the least margin",
    "own choice; docs/criteria.md"};

/// Days of a week in a row.
inline constexpr unsigned days_of_week = 7;

/// How often each visit, by its index, falls into a week.
using VisitsOfWeek = std::vector<unsigned>;

/// The weeks, 7 days in a row, that the least spacing of a study's visits permits; those that hold
/// no more than another are left out. Visits further apart than the least come into no other week
/// together.
[[nodiscard]] std::vector<VisitsOfWeek> heaviest_weeks(const Study& study);

/// Whether a criterion is on a week, in a study of visits: on a weekly dose, or on a level whose
/// weekly average stands for it by the policy, whether or not days_per_week is stated.
[[nodiscard]] bool is_on_week(const Criterion& criterion, const Policy& policy);

/// A limit on a week, judged by the week that is worst for it.
struct WeekResult {
    CriterionResult result;
    VisitsOfWeek week;
};

/// One person at one visit.
struct PersonAtVisit {
    std::size_t visit;  ///< index
    /// Owned by the study's assessment; its criteria on a week say nothing here.
    const PersonResult* day;
    std::vector<const CriterionResult*> limits = {};  ///< those of the day, and on peaks
    std::optional<Verdict> verdict = std::nullopt;    ///< none: no limit on a day decides
};

/// What a person hears over all visits, by the best estimate.
struct StudyTotal {
    unsigned days = 0;
    unsigned sessions = 0;
    Seconds scanning{0.0};  ///< with a sequence running, as the person hears it
    Seconds time{0.0};
    double at_ear_Pa2h = 0.0;
    double outside_Pa2h = 0.0;
    /// The daily doses at the ear by niosh-rel added up; no published limit is known for it.
    double niosh_percent = 0.0;
};

/// A person over all visits.
struct PersonOfStudy {
    std::string id;
    std::vector<PersonAtVisit> visits = {};
    std::vector<std::size_t> missing = {};  ///< visits without the person
    std::vector<WeekResult> week = {};
    StudyTotal total = {};
    Verdict verdict = Verdict::Unknown;
    /// What the plans state and a study does not use: other days of a week, other numbers of days.
    std::vector<double> days_per_week_stated = {};
    std::vector<unsigned> visits_stated = {};
    /// Own the criteria of `week`, one a role.
    std::vector<std::shared_ptr<const Person>> as_judged = {};

    /// The limit that decides: the tightest (tightest_of) on a day or on a week; null where there
    /// is none.
    [[nodiscard]] const CriterionResult* tightest() const;
    /// The visit that it is of; null for a week and where there is none.
    [[nodiscard]] const PersonAtVisit* worst_visit() const;
    /// The tightest of those on a week; null where there is none.
    [[nodiscard]] const WeekResult* worst_week() const;
};

/// The answer to a study. Points into it, which must outlive it.
struct StudyAssessment {
    const Study* study;
    std::vector<Assessment> visits = {};  ///< verdicts alone (assess_verdicts), in order
    std::vector<PersonOfStudy> people = {};

    /// The worst of all people.
    [[nodiscard]] Verdict verdict() const;
};

/// Everyone's exposure over all visits: each day by its limits, the heaviest week by those on a
/// week, and what all visits come to. People are the same by their ids. Throws the Obstacle as
/// `assess`.
[[nodiscard]] StudyAssessment assess(const Study& study);

}  // namespace earbudget
