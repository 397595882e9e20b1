#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "earbudget/acoustics/units.hpp"

namespace earbudget::files {

/// Of the decimal system, in any locale.
[[nodiscard]] constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// In small letters, of those of ASCII.
[[nodiscard]] std::string in_small_letters(std::string_view text);

/// Without blanks, or other characters, at its ends.
[[nodiscard]] std::string_view trimmed(std::string_view text, std::string_view blanks = " ");

/// A word that a POSIX shell reads as it stands, in single quotes where it must be.
[[nodiscard]] std::string as_typed(std::string_view word);

/// A text as a TOML basic string, quotes included.
[[nodiscard]] std::string toml_string(std::string_view text);

/// A number as a TOML float: always with a decimal point, at most three decimals.
[[nodiscard]] std::string toml_float(double value);

/// A time as parse_duration reads it back, to a millisecond: "1 h 10 min", "12.5 s".
[[nodiscard]] std::string written_duration(Seconds time);

/// What parse_duration accepts, for messages.
inline constexpr std::string_view accepted_durations =
    "a duration in quotes such as \"90 s\", \"8 min\", \"1 h 10 min\" or \"00:08:30\"";

/// Reads "90 s", "1.5 h", "1h10m", "10 minutes", "hours:minutes:seconds" and "minutes:seconds";
/// none for anything else, also for a negative or a repeated part. Units are hours, minutes,
/// seconds and milliseconds, in that order, by their usual abbreviations or written out.
[[nodiscard]] std::optional<Seconds> parse_duration(std::string_view text);

/// How "10:00" was taken, which others write for ten hours; none for any other duration.
[[nodiscard]] std::optional<std::string> note_on_duration(std::string_view text);

/// What kept a text from being a duration where that is known: ", a number without a unit"; else
/// empty.
[[nodiscard]] std::string_view why_no_duration(std::string_view text);

/// A number that was written with a decimal comma, with a point in its place: "94.0" of "94,0";
/// none for anything else.
[[nodiscard]] std::optional<std::string> with_decimal_point(std::string_view number);

}  // namespace earbudget::files
