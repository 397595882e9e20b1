#pragma once

#include <memory>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"

namespace earbudget::report {

struct Record;  // report/record.hpp

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
    [[nodiscard]] Working of_person(const std::string& person, const Working& working) const;
};

/// What the record asks to be shown of a working: of people alike, whose ids those are, or of a
/// review's sequence. Empty where nothing is asked for, or no working was kept.
[[nodiscard]] Working asked_working(const Record& record, const std::vector<std::string>& ids,
                                    const Working& whole);
[[nodiscard]] Working asked_working(const Record& record, const std::vector<std::string>& ids,
                                    const std::shared_ptr<const Working>& whole);

/// What a step works out.
[[nodiscard]] std::string what_of(const WorkingStep& step);

/// What is put in: a number with twelve digits, so that what follows from it can be redone to its
/// last printed digit; a word, or "none".
[[nodiscard]] std::string value_words(const WorkingValue& value);

/// What follows: a number to a ten-thousandth, a word, or "none".
[[nodiscard]] std::string result_words(const WorkingValue& value);

/// What follows with its unit, which words and "none" have not.
[[nodiscard]] std::string result_with_unit(const WorkingStep& step);

/// One cell of a step's table, as one or the other.
[[nodiscard]] std::string cell_words(const WorkingStep& step, std::size_t column,
                                     const WorkingValue& value);

/// The steps for a terminal, under whose they are, indented by two; empty without steps.
[[nodiscard]] std::string working_text(std::string_view of, const Working& working);

}  // namespace earbudget::report
