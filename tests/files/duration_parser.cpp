#include "files/written_values.hpp"

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
        {"90 s", 90.0},           {"8 min", 480.0},
        {"1 h 10 min", 4200.0},   {"00:08:30", 510.0},
        {"1.5 h", 5400.0},        {"90s", 90.0},
        {"1h10min5s", 4205.0},    {" 2 min ", 120.0},
        {"250 ms", 0.25},         {"100:00:00.5", 360000.5},
        {"0.5 min 3 s", 33.0},    {"10 minutes", 600.0},
        {"10m", 600.0},           {"90sec", 90.0},
        {"1h10m", 4200.0},        {"8 mins", 480.0},
        {"1 hour 5 Min", 3900.0}, {"2 hrs", 7200.0},
        {"1\u00a0min", 60.0},     {"10:00", 600.0},
        {"8:30", 510.0},          {"90:00.5", 5400.5}};
    for (const auto& [text, seconds] : rows) {
        CAPTURE(text);
        const auto parsed = parse_duration(text);
        REQUIRE(parsed);
        CHECK(near(parsed->count(), seconds, 1e-9, Because::Arithmetic));
    }
}

TEST_CASE("anything else is no duration") {
    for (const std::string text :
         {"",          " ",           "8",        "8 minuts", "8 meters", "-8 min",  "+8 min",
          "8 min 1 h", "8 min 8 min", "1e3 s",    "nan s",    "inf s",    "s",       "1,5 h",
          "8:5",       "8:61",        "10000:00", "00:61:00", "00:00:60", "1:2:3:4", "0x10 s",
          "8 min!",    "1..5 s",      ". s",      "00:-1:00"}) {
        CAPTURE(text);
        CHECK(!parse_duration(text));
    }
}

TEST_CASE("minutes and seconds with a colon are echoed, and nothing else is") {
    CHECK(files::note_on_duration("10:00") == "\"10:00\" is taken as 10 min 0 s; write \"10 min\"");
    CHECK(files::note_on_duration("8:30") ==
          "\"8:30\" is taken as 8 min 30 s; write \"8 min 30 s\"");
    CHECK(files::note_on_duration("0:30") == "\"0:30\" is taken as 0 min 30 s; write \"30 s\"");
    for (const std::string text : {"00:08:30", "10 min", "8:5", ":", ""}) {
        CAPTURE(text);
        CHECK(!files::note_on_duration(text));
    }
    // What it says to write is the same time.
    CHECK(parse_duration("8 min 30 s") == parse_duration("8:30"));
}

TEST_CASE("why a text is no duration is said where it is known") {
    CHECK(files::why_no_duration("8") == ", without a unit");
    CHECK(files::why_no_duration("1,5 h") == ", with a comma instead of a point");
    CHECK(files::why_no_duration("8 parsecs").empty());
}
