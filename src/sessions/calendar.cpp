#include "sessions/calendar.hpp"

#include <algorithm>
#include <cctype>
#include <stdexcept>

#include <date/date.h>
#include <date/tz.h>
#include <fmt/format.h>

namespace earbudget::sessions {

namespace {

constexpr std::size_t most_suggested = 5;

const date::time_zone& zone_of(const void* zone) {
    return *static_cast<const date::time_zone*>(zone);
}

date::sys_time<std::chrono::milliseconds> time_of(Instant at) {
    return date::sys_time<std::chrono::milliseconds>(std::chrono::milliseconds(at.ms));
}

date::sys_days days_of(LocalDay day) { return date::sys_days(date::days(day.number)); }

LocalDay day_of(date::sys_days days) {
    return {static_cast<std::int32_t>(days.time_since_epoch().count())};
}

std::optional<int> number_in(std::string_view digits) {
    int number = 0;
    for (const char digit : digits) {
        if (digit < '0' || digit > '9') return std::nullopt;
        number = 10 * number + (digit - '0');
    }
    return number;
}

std::string lower(std::string_view text) {
    std::string lower(text);
    for (char& c : lower)
        c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return lower;
}

}  // namespace

std::string iso_date(LocalDay day) {
    const date::year_month_day date(days_of(day));
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

std::optional<LocalDay> day_named(std::string_view iso_date) {
    if (iso_date.size() != 10 || iso_date[4] != '-' || iso_date[7] != '-') return std::nullopt;
    const auto year = number_in(iso_date.substr(0, 4));
    const auto month = number_in(iso_date.substr(5, 2));
    const auto day = number_in(iso_date.substr(8, 2));
    if (!year || !month || !day) return std::nullopt;
    const date::year_month_day date(date::year(*year), date::month(static_cast<unsigned>(*month)),
                                    date::day(static_cast<unsigned>(*day)));
    if (!date.ok()) return std::nullopt;
    return sessions::day_of(date::sys_days(date));
}

LocalDay monday_of(LocalDay day) {
    const date::weekday weekday(days_of(day));
    return day + -static_cast<int>((weekday - date::Monday).count());
}

LocalDay first_of_month(LocalDay day) {
    const date::year_month_day date(days_of(day));
    return sessions::day_of(date::sys_days(date.year() / date.month() / 1));
}

Span Span::within(const Span& other) const {
    return {std::max(from, other.from), std::min(to, other.to)};
}

std::optional<Calendar> Calendar::of(const std::string& time_zone) {
    try {
        return Calendar(time_zone, date::locate_zone(time_zone));
    } catch (const std::runtime_error&) {
        return std::nullopt;
    }
}

std::vector<std::string> Calendar::like(std::string_view time_zone) {
    const std::size_t slash = time_zone.rfind('/');
    const std::string city =
        lower(slash == std::string_view::npos ? time_zone : time_zone.substr(slash + 1));
    std::vector<std::string> names;
    for (const date::time_zone& zone : date::get_tzdb().zones) {
        if (names.size() == most_suggested) break;
        if (!city.empty() && lower(zone.name()).find(city) != std::string::npos)
            names.push_back(zone.name());
    }
    return names;
}

LocalDay Calendar::day_of(Instant at) const {
    return sessions::day_of(date::sys_days(
        date::floor<date::days>(zone_of(zone_).to_local(time_of(at))).time_since_epoch()));
}

/// The first moment of the day: where midnight is left out by a change of summer time, that change;
/// where it comes twice, the first one.
Instant Calendar::begin_of(LocalDay day) const {
    const date::local_days midnight{date::days(day.number)};
    const date::local_info info = zone_of(zone_).get_info(midnight);
    const auto seconds = info.result == date::local_info::nonexistent
                             ? info.first.end
                             : date::sys_seconds(std::chrono::duration_cast<std::chrono::seconds>(
                                                     midnight.time_since_epoch()) -
                                                 info.first.offset);
    return {std::chrono::milliseconds(seconds.time_since_epoch()).count()};
}

Span Calendar::span_of(LocalDay first, LocalDay last) const {
    return {begin_of(first), begin_of(last + 1)};
}

int Calendar::offset_minutes(Instant at) const {
    const auto offset = zone_of(zone_).get_info(time_of(at)).offset;
    return static_cast<int>(std::chrono::duration_cast<std::chrono::minutes>(offset).count());
}

}  // namespace earbudget::sessions
