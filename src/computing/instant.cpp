#include "earbudget/computing/instant.hpp"

#include <chrono>
#include <cstdlib>

#include <fmt/format.h>

namespace earbudget {

namespace {

constexpr std::int64_t ms_a_day = 86'400'000;
constexpr std::int64_t ms_a_minute = 60'000;
/// By which RFC 3339 clocks may differ from UTC.
constexpr int most_offset_hours = 23;

/// Takes the text apart from its beginning.
class Reader {
  public:
    explicit Reader(std::string_view text) : text_(text) {}

    /// So many digits as a number.
    std::optional<int> digits(std::size_t count) {
        if (text_.size() < count) return std::nullopt;
        int value = 0;
        for (const char c : text_.substr(0, count)) {
            if (c < '0' || c > '9') return std::nullopt;
            value = 10 * value + (c - '0');
        }
        text_.remove_prefix(count);
        return value;
    }

    /// One of these characters; 0 for another.
    char one_of(std::string_view accepted) {
        if (text_.empty() || accepted.find(text_.front()) == std::string_view::npos) return '\0';
        const char c = text_.front();
        text_.remove_prefix(1);
        return c;
    }

    [[nodiscard]] bool at_end() const { return text_.empty(); }

    /// Milliseconds of a fraction of any length, what is beyond them cut off; none without digits.
    std::optional<int> fraction() {
        int ms = 0;
        std::size_t seen = 0;
        while (!text_.empty() && text_.front() >= '0' && text_.front() <= '9') {
            if (seen < 3) ms = 10 * ms + (text_.front() - '0');
            ++seen;
            text_.remove_prefix(1);
        }
        if (seen == 0) return std::nullopt;
        for (; seen < 3; ++seen)
            ms *= 10;
        return ms;
    }

  private:
    std::string_view text_;
};

/// Midnight UTC of a date; none where the calendar has none.
std::optional<std::int64_t> day_ms(int year, int month, int day) {
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok() || year < 1970) return std::nullopt;
    return std::chrono::sys_days(date).time_since_epoch().count() * ms_a_day;
}

std::optional<int> offset_of(Reader& reader) {
    const char sign = reader.one_of("+-Zz");
    if (sign == 'Z' || sign == 'z') return 0;
    if (sign == '\0') return std::nullopt;
    const auto hours = reader.digits(2);
    const bool colon = reader.one_of(":") != '\0';
    const auto minutes = reader.digits(2);
    if (!hours || !colon || !minutes || *hours > most_offset_hours || *minutes > 59)
        return std::nullopt;
    return (sign == '-' ? -1 : 1) * (60 * *hours + *minutes);
}

}  // namespace

std::optional<StatedInstant> parse_rfc3339(std::string_view text) {
    Reader reader(text);
    const auto year = reader.digits(4);
    const bool first = reader.one_of("-") != '\0';
    const auto month = reader.digits(2);
    const bool second = reader.one_of("-") != '\0';
    const auto day = reader.digits(2);
    // A space is what section 5.6 lets applications write for the "T".
    const bool middle = reader.one_of("Tt ") != '\0';
    const auto hours = reader.digits(2);
    const bool third = reader.one_of(":") != '\0';
    const auto minutes = reader.digits(2);
    const bool fourth = reader.one_of(":") != '\0';
    const auto seconds = reader.digits(2);
    if (!year || !first || !month || !second || !day || !middle || !hours || !third || !minutes ||
        !fourth || !seconds || *hours > 23 || *minutes > 59 || *seconds > 59)
        return std::nullopt;
    std::optional<int> ms = 0;
    if (reader.one_of(".") != '\0') ms = reader.fraction();
    const auto offset = offset_of(reader);
    const auto midnight = day_ms(*year, *month, *day);
    if (!ms || !offset || !reader.at_end() || !midnight) return std::nullopt;
    const std::int64_t local =
        *midnight + ((*hours * 60LL + *minutes) * 60LL + *seconds) * 1000LL + *ms;
    const Instant at{local - *offset * ms_a_minute};
    if (at.ms < 0) return std::nullopt;
    return StatedInstant{at, *offset};
}

std::string rfc3339(const StatedInstant& stated) {
    const std::chrono::sys_time<std::chrono::milliseconds> local{
        std::chrono::milliseconds(stated.at.ms + stated.offset_minutes * ms_a_minute)};
    const auto day = std::chrono::floor<std::chrono::days>(local);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss time{local - day};
    std::string text = fmt::format(
        "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(date.year()),
        static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), time.hours().count(),
        time.minutes().count(), time.seconds().count());
    if (const auto ms = time.subseconds().count(); ms != 0) text += fmt::format(".{:03}", ms);
    if (stated.offset_minutes == 0) return text + "Z";
    const int size = std::abs(stated.offset_minutes);
    return text +
           fmt::format("{}{:02}:{:02}", stated.offset_minutes < 0 ? '-' : '+', size / 60, size % 60);
}

Instant now() {
    const auto since = std::chrono::system_clock::now().time_since_epoch();
    return {std::chrono::duration_cast<std::chrono::milliseconds>(since).count()};
}

}  // namespace earbudget
