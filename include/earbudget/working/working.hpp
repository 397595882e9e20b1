#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "earbudget/choice/check_ratings.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/measuring/measure.hpp"
#include "earbudget/review/review.hpp"

namespace earbudget {

/// A number, a word, or nothing where there is none.
using WorkingValue = std::variant<std::monostate, double, std::string>;

struct NamedValue {
    std::string name;  ///< the symbol in the formula, with its unit as in JSON keys: "LC_dB"
    WorkingValue value;
};

/// How one number of a result came about, so that a reader can redo it with a pocket calculator.
struct WorkingStep {
    std::string what;             ///< for people; `then` follows
    std::vector<std::string> of;  ///< keys of the numbers in JSON, from the object it stands in
    std::string formula;
    std::string source;                                ///< document and clause
    std::vector<NamedValue> values = {};               ///< put in
    std::vector<std::string> columns = {};             ///< of `rows`
    std::vector<std::vector<WorkingValue>> rows = {};  ///< what a sum runs over
    /// Columns that follow from the others of their row, printed as results are.
    std::vector<std::string> worked_columns = {};
    WorkingValue result = {};  ///< of `unit`
    std::string unit = {};
    Message then = {};
    std::vector<std::string> about = {};  ///< ids of the sequences and criteria that it is about
};

using Working = std::vector<WorkingStep>;

/// What of a working is asked for: everything, or what is about these ids.
struct WorkingFor {
    std::vector<std::string> people = {};  ///< ids that are those of people alone; of a review's
                                           ///< sequences
    std::vector<std::string> topics = {};  ///< of sequences and criteria alone
    std::vector<std::string> both = {};    ///< of a person and of a sequence or criterion

    /// Sorts ids into these; the ids of people and of topics are those that there are.
    [[nodiscard]] static WorkingFor of(const std::vector<std::string>& ids,
                                       const std::vector<std::string>& people,
                                       const std::vector<std::string>& topics);

    /// Whether a person is asked for by id.
    [[nodiscard]] bool names(const std::string& person) const;

    /// Whether anything of a person's working may be asked for.
    [[nodiscard]] bool wants(const std::string& person) const;

    /// The steps that are asked for: those of people who are named, where any are, about what is
    /// named, where anything is; an id that is both counts as either.
    [[nodiscard]] Working of_person(const std::string& person, Working working) const;
};

/// Of everything that an assessment says of one person: levels at the ear by sound, exposure,
/// criteria, shares, advice. Nothing is computed otherwise than for the result.
[[nodiscard]] Working working_of(const Plan& plan, const PersonResult& result);

/// Of one choice of a ranking: levels at the ear by sound, LEX,8h, margins.
[[nodiscard]] Working working_of(const Plan& plan, const Person& person,
                                 const RankedChoice& choice);

/// Of the reduction that a person needs.
[[nodiscard]] Working working_of(const Person& person, const RequiredReduction& required,
                                 const RankedChoice& unprotected);

/// Of the permitted times of one sequence, and its peaks.
[[nodiscard]] Working working_of(const SequenceReview& review, const ReviewTerms& terms);

/// Of ratings computed from octave-band data; empty where none are.
[[nodiscard]] Working working_of(const CheckedRatings& checked);

/// Of a channel's calibration, background correction and uncertainty.
[[nodiscard]] Working working_of(const MeasuredChannel& channel);

}  // namespace earbudget
