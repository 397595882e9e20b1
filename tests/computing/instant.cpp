// Moments as RFC 3339 writes them; the examples of its section 5.8 (memory), the rest by POSIX `date`.
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/computing/instant.hpp"

using namespace earbudget;

TEST_CASE("A moment of RFC 3339 is read to the millisecond with its offset") {
    struct Row {
        std::string_view text;
        std::int64_t ms;
        int offset;
        std::string_view written;
    };
    const std::vector<Row> rows = {
        {"1985-04-12T23:20:50.52Z", 482'196'050'520, 0, "1985-04-12T23:20:50.520Z"},
        {"1996-12-19T16:39:57-08:00", 851'042'397'000, -480, "1996-12-19T16:39:57-08:00"},
        {"1937-01-01T12:00:27.87+00:20", -1, 0, ""},
        {"2026-11-29 18:05:30+01:00", 1'795'971'930'000, 60, "2026-11-29T18:05:30+01:00"},
        {"2024-02-29T00:00:00Z", 1'709'164'800'000, 0, "2024-02-29T00:00:00Z"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.text);
        const auto read = parse_rfc3339(row.text);
        CHECK(read.has_value() == (row.ms >= 0));
        if (!read) continue;
        CHECK(read->at.ms == row.ms);
        CHECK(read->offset_minutes == row.offset);
        CHECK(rfc3339(*read) == row.written);
        CHECK(parse_rfc3339(rfc3339(*read)) == read);
    }
}

TEST_CASE("What is no moment is none") {
    for (const std::string_view text :
         {"", "2026-11-29", "2026-11-29T18:05", "2026-11-29T18:05:30", "2026-02-29T00:00:00Z",
          "2026-13-01T00:00:00Z", "2026-11-31T00:00:00Z", "2026-11-29T24:00:00Z",
          "2026-11-29T18:60:00Z", "2026-11-29T23:59:60Z", "2026-11-29T18:05:30+24:00",
          "2026-11-29T18:05:30+0100", "2026-11-29T18:05:30.Z", "2026-11-29T18:05:30Z ",
          "26-11-29T18:05:30Z", "2026-11-29T18:05:30+01:60", "1969-12-31T23:59:59Z"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_rfc3339(text).has_value());
    }
}
