#pragma once

#include <memory>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "report/record.hpp"

namespace earbudget::report {

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

/// One cell of a step's table, as one or the other.
[[nodiscard]] std::string cell_words(const WorkingStep& step, std::size_t column,
                                     const WorkingValue& value);

/// The steps for a terminal, under whose they are, indented by two; empty without steps.
[[nodiscard]] std::string working_text(std::string_view of, const Working& working);

}  // namespace earbudget::report
