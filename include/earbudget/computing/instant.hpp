#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace earbudget {

/// A moment, as milliseconds since 1970-01-01T00:00:00Z, leap seconds left out (POSIX time).
struct Instant {
    std::int64_t ms = 0;

    auto operator<=>(const Instant&) const = default;
};

/// A moment as somebody wrote it: with the offset from UTC that was in force there.
struct StatedInstant {
    Instant at = {};
    int offset_minutes = 0;

    bool operator==(const StatedInstant&) const = default;
};

/// Reads a date and time of RFC 3339, section 5.6 ("2026-11-29T18:05:30+01:00", "…Z", fractions of a
/// second to the millisecond); none for anything else, a day that no calendar has, a leap second, and a
/// year outside 1970 to 9999.
[[nodiscard]] std::optional<StatedInstant> parse_rfc3339(std::string_view text);

/// Writes one as RFC 3339 has it, to the second, or to the millisecond where it is not a whole second;
/// "Z" for an offset of nothing.
[[nodiscard]] std::string rfc3339(const StatedInstant& stated);

/// The clock's time now.
[[nodiscard]] Instant now();

}  // namespace earbudget
