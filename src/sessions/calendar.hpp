#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/computing/instant.hpp"

namespace earbudget::sessions {

/// A day of a calendar, as days since 1970-01-01.
struct LocalDay {
    std::int32_t number = 0;

    auto operator<=>(const LocalDay&) const = default;
    friend LocalDay operator+(LocalDay day, int days) { return {day.number + days}; }
};

/// "2026-11-29".
[[nodiscard]] std::string iso_date(LocalDay day);
/// The day of such a text; none for any other text and days that no calendar has.
[[nodiscard]] std::optional<LocalDay> day_named(std::string_view iso_date);
/// The Monday on or before a day, with which its week begins (ISO 8601).
[[nodiscard]] LocalDay monday_of(LocalDay day);
/// The first of the day's month.
[[nodiscard]] LocalDay first_of_month(LocalDay day);

/// Time from one moment to before another.
struct Span {
    Instant from, to;

    [[nodiscard]] bool empty() const { return from >= to; }
    [[nodiscard]] Seconds time() const {
        return Seconds(empty() ? 0.0 : static_cast<double>(to.ms - from.ms) / 1000.0);
    }
    [[nodiscard]] Span within(const Span& other) const;

    bool operator==(const Span&) const = default;
};

/// Days and weeks where a site stands: local days are divided at local midnight, whatever the
/// offset from UTC is then, so that a day across a change of summer time has 23 or 25 hours; all
/// times are differences of moments in UTC.
class Calendar {
  public:
    /// By a name of the IANA time zone database as the system has it ("Europe/Berlin", "UTC"); none
    /// where it has no such zone.
    [[nodiscard]] static std::optional<Calendar> of(const std::string& time_zone);

    /// Names that are accepted and look like this one, at most five.
    [[nodiscard]] static std::vector<std::string> like(std::string_view time_zone);

    [[nodiscard]] const std::string& time_zone() const { return time_zone_; }
    [[nodiscard]] LocalDay day_of(Instant at) const;
    /// From a day's beginning to the next one's; of several days in a row until the last one's end.
    [[nodiscard]] Span span_of(LocalDay day) const { return span_of(day, day); }
    [[nodiscard]] Span span_of(LocalDay first, LocalDay last) const;
    /// The offset from UTC in force.
    [[nodiscard]] int offset_minutes(Instant at) const;
    [[nodiscard]] StatedInstant stated(Instant at) const { return {at, offset_minutes(at)}; }

  private:
    Calendar(std::string time_zone, const void* zone)
        : time_zone_(std::move(time_zone)), zone_(zone) {}
    [[nodiscard]] Instant begin_of(LocalDay day) const;

    std::string time_zone_;
    const void* zone_;  ///< the library's, which lives as long as the program
};

}  // namespace earbudget::sessions
