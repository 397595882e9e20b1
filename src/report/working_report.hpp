#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "earbudget/working/working.hpp"
#include "report/record.hpp"

namespace earbudget::report {

/// What the record asks to be shown of a working: of people alike, whose ids those are, or of a
/// review's sequence; `whole` makes all of it. Empty where nothing is asked for.
template <class Whole>
[[nodiscard]] Working asked_working(const Record& record, const std::vector<std::string>& ids,
                                    const Whole& whole) {
    const WorkingFor& asked = record.working_for;
    const auto named =
        std::ranges::find_if(ids, [&](const std::string& id) { return asked.names(id); });
    const std::string& id = named == ids.end() ? ids.front() : *named;
    if (!record.with_working || !asked.wants(id)) return {};
    return asked.of_person(id, whole());
}

/// What is put in: a number with twelve digits, so that what follows from it can be redone to its
/// last printed digit; a word, or "none".
[[nodiscard]] std::string value_words(const WorkingValue& value);

/// What follows: a number to a ten-thousandth, a word, or "none".
[[nodiscard]] std::string result_words(const WorkingValue& value);

/// One cell of a step's table, as one or the other.
[[nodiscard]] std::string cell_words(const WorkingStep& step, std::size_t column,
                                     const WorkingValue& value);

/// A section "Working" for a terminal, indented by two; empty without steps.
[[nodiscard]] std::string working_text(const Working& working);

}  // namespace earbudget::report
