// Days and weeks where a site stands, across changes of summer time.
#include "sessions/calendar.hpp"

#include <doctest/doctest.h>

#include "support/session_log.hpp"

using namespace earbudget;
using namespace earbudget::test;
using sessions::Calendar;
using sessions::day_named;
using sessions::LocalDay;

namespace {

LocalDay day(const char* text) { return day_named(text).value(); }

double hours_of(const Calendar& calendar, const char* text) {
    return calendar.span_of(day(text)).time().count() / 3600.0;
}

}  // namespace

TEST_CASE("days have 23 and 25 hours where summer time begins and ends") {
    const Calendar berlin = Calendar::of("Europe/Berlin").value();
    CHECK(hours_of(berlin, "2026-03-29") == 23.0);
    CHECK(hours_of(berlin, "2026-10-25") == 25.0);
    CHECK(hours_of(berlin, "2026-06-01") == 24.0);
    CHECK(berlin.span_of(day("2026-03-29")).from == at("2026-03-29T00:00:00+01:00"));
    CHECK(berlin.span_of(day("2026-03-29")).to == at("2026-03-30T00:00:00+02:00"));
    CHECK(berlin.offset_minutes(at("2026-03-29T00:59:59Z")) == 60);
    CHECK(berlin.offset_minutes(at("2026-03-29T01:00:00Z")) == 120);
    // The same local time twice, an hour apart.
    CHECK(rfc3339(berlin.stated(at("2026-10-25T00:30:00Z"))) == "2026-10-25T02:30:00+02:00");
    CHECK(rfc3339(berlin.stated(at("2026-10-25T01:30:00Z"))) == "2026-10-25T02:30:00+01:00");
}

TEST_CASE("days follow one another without gap or overlap wherever the site stands") {
    for (const char* zone : {"UTC", "Europe/Berlin", "America/New_York", "America/Sao_Paulo",
                             "Asia/Beirut", "Asia/Kolkata", "Australia/Lord_Howe", "Pacific/Apia",
                             "Pacific/Chatham", "America/Havana"}) {
        CAPTURE(zone);
        const Calendar calendar = Calendar::of(zone).value();
        for (LocalDay now = day("2009-01-01"); now < day("2013-01-01"); now = now + 1) {
            const auto span = calendar.span_of(now);
            REQUIRE(calendar.span_of(now + 1).from == span.to);
            if (span.empty()) continue;  // a day that was left out at the date line
            REQUIRE(calendar.day_of(span.from) == now);
            REQUIRE(calendar.day_of({span.to.ms - 1}) == now);
        }
    }
}

TEST_CASE("weeks begin on a Monday, months on their first") {
    CHECK(sessions::monday_of(day("2026-11-29")) == day("2026-11-23"));  // a Sunday
    CHECK(sessions::monday_of(day("2026-11-30")) == day("2026-11-30"));
    CHECK(sessions::monday_of(day("1970-01-01")) == day("1969-12-29"));
    CHECK(sessions::first_of_month(day("2024-02-29")) == day("2024-02-01"));
    CHECK(sessions::iso_date(day("2024-02-29")) == "2024-02-29");
}

TEST_CASE("what is no day and no zone is none, and names that look alike are offered") {
    for (const char* text : {"2026-02-29", "2026-13-01", "2026-00-10", "26-01-01", "2026/01/01",
                             "2026-01-1x", "", "2026-01-011"})
        CHECK_FALSE(day_named(text).has_value());
    for (const char* zone : {"Europe/Berlim", "", "../../etc/passwd", "berlin", "GMT+25"})
        CHECK_FALSE(Calendar::of(zone).has_value());
    const auto alike = Calendar::like("berlin");
    REQUIRE_FALSE(alike.empty());
    CHECK(std::ranges::find(alike, "Europe/Berlin") != alike.end());
    CHECK(Calendar::like("a").size() <= 5);
}
