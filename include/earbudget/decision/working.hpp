#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "earbudget/decision/assessment.hpp"
#include "earbudget/decision/check_ratings.hpp"
#include "earbudget/decision/choose.hpp"
#include "earbudget/decision/measure.hpp"
#include "earbudget/decision/review.hpp"

namespace earbudget {

/// A number, a word, or nothing where there is none.
using WorkingValue = std::variant<std::monostate, double, std::string>;

struct NamedValue {
    std::string name;  ///< the symbol in the formula, with its unit as in JSON keys: "LC_dB"
    WorkingValue value;
};

/// How one number of a result came about, so that a reader can redo it with a pocket calculator.
struct WorkingStep {
    std::string what;             ///< for people
    std::vector<std::string> of;  ///< keys of the numbers in JSON, from the object it stands in
    std::string formula;
    std::string source;                                ///< document and clause
    std::vector<NamedValue> values = {};               ///< put in
    std::vector<std::string> columns = {};             ///< of `rows`
    std::vector<std::vector<WorkingValue>> rows = {};  ///< what a sum runs over
    WorkingValue result = {};                          ///< of `unit`
    std::string unit = {};
};

using Working = std::vector<WorkingStep>;

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
