#pragma once

#include <cstddef>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/limits/review_terms.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// What a question will cost, known from its size before anything is computed.
struct WorkSize {
    double seconds = 0.0;  ///< of computing on one core, as measured (computing/work_costs.hpp)
    double bytes = 0.0;    ///< of memory that results and one person's working take
    double report = 0.0;   ///< bytes of the report, as measured, and a little more
    Message factors = {};  ///< "400 people who differ × 50 rows × 3 criteria"
};

/// How an answer is written: what its report takes hangs on that.
struct ReportAsked {
    enum class Form { Text, Json, Page };
    Form form = Form::Text;
    bool working = false;  ///< all of it
};

/// So long a question may take by its size on the machine that costs were measured on. Own choice:
/// a machine half as fast then still needs less than a minute.
inline constexpr double most_seconds = 20.0;

/// So many bytes: beside them are the inputs, some draws and a report. Own choice.
inline constexpr double most_bytes = 150e6;

/// And so long by what was counted while it was computed (WorkMeter): sizes do not tell in how many
/// cases draws leave doubts.
inline constexpr double most_seconds_counted = 24.0;

/// Of `assess`: people who differ, each with the rows heard, sounds that differ and criteria for
/// the role, and what could be worn instead as far as it is tried.
[[nodiscard]] WorkSize size_of_assess(const Plan& plan, const ReportAsked& asked = {});

/// Of `assess_verdicts`.
[[nodiscard]] WorkSize size_of_verdicts(const Plan& plan);

/// Of the working of the person of whom there is most to show.
[[nodiscard]] double bytes_of_working(const Plan& plan);

/// Of `choose`: those times all that can be worn.
[[nodiscard]] WorkSize size_of_choose(const Plan& plan, const ReportAsked& asked = {});

/// Of an assessment and its sheet for the scanner.
[[nodiscard]] WorkSize size_of_sheet(const Plan& plan);

/// Of reviewing some cards: cards, what can be worn, and criteria.
[[nodiscard]] WorkSize size_of_review(std::size_t cards, const ReviewTerms& terms,
                                      const ReportAsked& asked = {});

/// Several one after the other.
[[nodiscard]] WorkSize together(const WorkSize& one, const WorkSize& other);

/// By how much a size is above what is accepted, in the measure in which it is most: 1 is just
/// accepted. `most_report` is the bytes that a report may have.
[[nodiscard]] double part_of_accepted(const WorkSize& size, double most_report);

/// What is too much of a size and how much is accepted: "… × …: about 47 s of computing; accepted:
/// at most 20 s". Of several the one that is furthest above.
[[nodiscard]] Message too_much(const WorkSize& size, double most_report);

/// What is said of a question that turned out above most_seconds_counted while it was computed.
[[nodiscard]] Message too_much_counted(const WorkSize& size);

/// What may go into what each person of a plan could wear instead, so that advice takes no more
/// than some seconds for everyone.
[[nodiscard]] CandidateBudget candidate_budget(const Plan& plan);

/// How many of those are tried for a person.
[[nodiscard]] std::size_t most_candidates(const Plan& plan, const Person& person,
                                          const CandidateBudget& budget);

}  // namespace earbudget
