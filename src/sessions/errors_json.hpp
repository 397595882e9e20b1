#pragma once

#include "earbudget/uncertainty/day_errors.hpp"
#include "sessions/json_parts.hpp"

namespace earbudget::sessions {

// The errors of a record (exposure_json.hpp) to JSON and back: variables with their streams,
// spreads between people, and what each row has of them.

/// An error's kind as records name it, whatever reports call it.
[[nodiscard]] std::string_view key_of(ErrorKind kind);

[[nodiscard]] Json json_of_variables(const DayErrors& errors);
[[nodiscard]] Json json_of_spreads(const DayErrors& errors);
/// The one segment of a row; null for a row without sound.
[[nodiscard]] Json json_of_segment(const DayErrors& errors, std::size_t row);

/// Reads "errors" and "spreads" of the record into an empty one.
void read_variables(const ObjectIn& record, DayErrors& errors);
/// Adds a row with its segment.
void read_segment(const Json* segment, DayErrors& errors);

}  // namespace earbudget::sessions
