#include "files/duration_parser.hpp"

#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using files::parse_duration;

TEST_CASE("durations that the interface contract names, and their kin") {
    const std::vector<std::pair<std::string, double>> rows = {
        {"90 s", 90.0},         {"8 min", 480.0},
        {"1 h 10 min", 4200.0}, {"00:08:30", 510.0},
        {"1.5 h", 5400.0},      {"90s", 90.0},
        {"1h10min5s", 4205.0},  {" 2 min ", 120.0},
        {"250 ms", 0.25},       {"100:00:00.5", 360000.5},
        {"0.5 min 3 s", 33.0}};
    for (const auto& [text, seconds] : rows) {
        CAPTURE(text);
        const auto parsed = parse_duration(text);
        REQUIRE(parsed);
        CHECK(near(parsed->count(), seconds, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("anything else is no duration") {
    for (const std::string text :
         {"",       " ",         "8",           "8 minutes", "8 m",      "-8 min",
          "+8 min", "8 min 1 h", "8 min 8 min", "1e3 s",     "nan s",    "inf s",
          "s",      "1,5 h",     "8:30",        "00:61:00",  "00:00:60", "1:2:3:4",
          "0x10 s", "8 min!",    "1..5 s",      ". s",       "00:-1:00"}) {
        CAPTURE(text);
        CHECK(!parse_duration(text));
    }
}
