// What cells say, and what they are refused for: numbers, durations, rows.
#include <optional>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "tables/tables_of.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// In seconds; none where the cell is refused.
std::optional<double> duration_of(const std::string& heading, const std::string& cell) {
    const ReadTable read("id;" + heading + "\na;" + cell + "\n");
    if (!read.errors.empty()) {
        CHECK(read.errors.size() == 1);
        CHECK(read.lists("2:2", "is no "));
        return std::nullopt;
    }
    return read.tables.sequences.at(0).duration->count();
}

std::optional<double> level_of(const std::string& cell) {
    const ReadTable read("id;LAeq [dB(A)]\na;" + cell + "\n");
    if (!read.errors.empty()) {
        CHECK(read.lists("2:2", "column \"LAeq [dB(A)]\": \""));
        return std::nullopt;
    }
    return read.tables.sequences.at(0).levels->LAeq.dB();
}

}  // namespace

TEST_CASE("a duration has its unit in the heading or in the cell, and 10:00 only by its heading") {
    struct Case {
        std::string heading, cell;
        std::optional<double> seconds;
    };
    const std::vector<Case> cases = {
        {"duration", "8 min", 480.0},
        {"duration", "1,5 min", 90.0},
        {"duration", "1 h 10 min", 4200.0},
        {"duration", "00:08:30", 510.0},
        {"duration", "10:00", std::nullopt},
        {"duration", "480", std::nullopt},
        {"duration", "-8 min", std::nullopt},
        {"duration", "0 s", std::nullopt},
        {"duration", "8 parsecs", std::nullopt},
        {"duration (s)", "480", 480.0},
        {"duration (s)", "12,5", 12.5},
        {"duration (s)", "10:00", std::nullopt},
        {"duration (s)", "1,200", std::nullopt},
        {"duration (s)", "1.200", 1.2},
        {"duration (s)", "0,250", 0.25},
        {"duration (s)", "8 min", 480.0},
        {"duration (ms)", "1500", 1.5},
        {"duration (min)", "8", 480.0},
        {"duration (min)", "10:00", 600.0},
        {"duration (min:s)", "10:00", 600.0},
        {"duration (min:s)", "8:30,5", 510.5},
        {"duration (min:s)", "8:60", std::nullopt},
        {"duration (min:s)", "8:5", std::nullopt},
        {"duration (min:s)", "8", std::nullopt},
        {"duration (min:s)", "08:30:00", std::nullopt},
        {"duration (h:min)", "1:30", 5400.0},
        {"duration (hh:mm:ss)", "0:08:30", 510.0},
        {"duration (h)", "0,5", 1800.0},
        {"duration (h)", "2000", std::nullopt},
    };
    for (const Case& one : cases) {
        CAPTURE(one.heading);
        CAPTURE(one.cell);
        const auto seconds = duration_of(one.heading, one.cell);
        CHECK(seconds.has_value() == one.seconds.has_value());
        if (seconds && one.seconds) CHECK(near(*seconds, *one.seconds, 1e-9, Because::Arithmetic));
    }
    // Where decimals have commas a point may part thousands.
    CHECK(ReadTable("id;duration (s);LAeq\na;1.200;90,5\n").lists("2:2", "thousands"));
    // A unit behind it tells nothing of that.
    for (const std::string cell : {"1,500 s", "1,200 min", "1 h 1,200 s"})
        CHECK(ReadTable("id,duration,LAeq\na,\"" + cell + "\",90.5\n").lists("2:2", "thousands"));
    CHECK(ReadTable("id;duration;LAeq\na;1.200 s;90,5\n").lists("2:2", "thousands"));
}

TEST_CASE("a number has a decimal point or comma, and at most the unit of its column") {
    CHECK(near(*level_of("94.5"), 94.5, 1e-9, Because::Arithmetic));
    CHECK(near(*level_of("94,5"), 94.5, 1e-9, Because::Arithmetic));
    CHECK(near(*level_of("94,5 dB(A)"), 94.5, 1e-9, Because::Arithmetic));
    CHECK(near(*level_of("94 dB"), 94.0, 1e-9, Because::Arithmetic));
    // A minus sign is one, and no sequence is so quiet.
    CHECK(ReadTable("id;LAeq\na;\xE2\x88\x92" "5\n").lists("2:2", "above 0 dB"));
    CHECK(near(*level_of("+94"), 94.0, 1e-9, Because::Arithmetic));
    for (const std::string cell : {"94 dB(C)", "loud", "94..5", "9,4,5", "1e2", "400", "nan",
                                   "94 95", "=94", "0x5e", "-21"}) {
        CAPTURE(cell);
        CHECK(!level_of(cell));
    }
}

TEST_CASE("rows that cannot be are listed, all of them") {
    const ReadTable read(
        "id,title,repeat,LAeq,LCeq,LCpeak,uncertainty\n"
        ",,1,90,,,\n"
        "a,,0,90,,,\n"
        "b,,2.5,90,,,\n"
        "c,,1,90,,80,\n"
        "d,,1,,91,,\n"
        " e,,1,90,80,,\n");
    CHECK(read.lists("2:1", "neither an id nor a title"));
    CHECK(read.lists("3:3", "no whole number"));
    CHECK(read.lists("4:3", "no whole number"));
    CHECK(read.lists("5:6", "peak"));
    CHECK(read.lists("6:1", "neither LAeq nor octave bands"));
    CHECK(read.lists("7:4", ""));
    CHECK(read.errors.size() == 6);
}

TEST_CASE("octave bands alone make LAeq, and bands that do not are refused at theirs") {
    const ReadTable read("id,500,1 kHz\na,90,95\n");
    REQUIRE(read.tables.sequences.size() == 1);
    // 86.8 and 95 dB(A) together.
    CHECK(near(read.tables.sequences[0].levels->LAeq.dB(), 95.61, 0.01, Because::PrintedRounding));
    CHECK(ReadTable("id,LAeq,1 kHz\na,90,95\n").errors.size() == 1);
}

TEST_CASE("types of protectors, roles and what is worn by the words that people use") {
    const ReadTable plugs(
        "Name,Type,SNR,fits head coil,mean_63,sd_63\n"
        "A,foam,30,yes,,\nB,Ear muffs,25,no,,\nC,premolded plug,20,,,\nD,earplug,20,,,\n"
        "E,earmuff,,,20,\nA,foam,1,,,\nF,,20,,,\n");
    CHECK(plugs.lists("5:2", "no type of protector"));
    CHECK(plugs.lists("6:1", "lacks sd of 63 Hz"));
    CHECK(plugs.lists("7:1", "stands twice"));
    CHECK(plugs.lists("8:2", "no type"));
    REQUIRE(plugs.tables.protectors.size() >= 3);
    CHECK(plugs.tables.protectors[1].protector.type == ProtectorType::Earmuff);
    CHECK(plugs.tables.protectors[1].protector.fits_head_coil == false);
    CHECK(plugs.tables.protectors[2].protector.type == ProtectorType::PremouldedPlug);
    const ReadTable people(
        "code;role;wears\nP1;Volunteer;\"A + "
        "B\"\nP2;nurse;none\nP3;pilot;A\nP4;parent;\nP1;staff;\n");
    CHECK(people.lists("4:2", "no role"));
    CHECK(people.lists("6:1", "stands twice"));
    REQUIRE(people.tables.people.size() == 4);
    CHECK(people.tables.people[0].wears == std::vector<std::string>{"A", "B"});
    CHECK(people.tables.people[1].role == Role::Staff);
    CHECK(people.tables.people[1].wears.empty());
    CHECK(people.tables.people[3].role == Role::Accompanying);
}

TEST_CASE("a table that is written is read again, whatever its cells hold") {
    std::mt19937 random(20);
    const std::vector<std::string> pieces = {
        "a", "\"", ",", ";", " b", "=1", "'", "\t", "\n", "\xC3\xA9", "\xE2\x82\xAC", "0", "#"};
    for (int round = 0; round < 300; ++round) {
        std::string title = "t";
        for (unsigned n = random() % 8; n > 0; --n)
            title += pieces[random() % pieces.size()];
        title += "z";
        const double level = static_cast<double>(random() % 150000) / 1000.0;
        const char separator = ",;\t"[random() % 3];
        const bool comma = separator != ',' && random() % 2 == 0;
        std::string number = std::to_string(level).substr(0, std::to_string(level).size() - 3);
        if (comma) number.replace(number.find('.'), 1, ",");
        std::string quoted = "\"";
        std::string expected;
        for (const char c : title) {
            quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
            const bool blank = c == '\n' || c == '\t' || c == ' ';
            if (!blank || expected.back() != ' ') expected += blank ? ' ' : c;
        }
        quoted += '"';
        const std::string s(1, separator);
        CAPTURE(quoted);
        const ReadTable read("title" + s + "LAeq" + s + "id\n" + quoted + s + number + s + "x\n");
        CHECK(read.errors.empty());
        REQUIRE(read.tables.sequences.size() == 1);
        CHECK(read.tables.sequences[0].title == expected);
        CHECK(near(read.tables.sequences[0].levels->LAeq.dB(), level, 1e-6, Because::Arithmetic));
    }
}

TEST_CASE("people of an age are read with it, since limits differ by age") {
    const ReadTable read("id,role,age_group\na,participant,Neonate\nb,participant,\n");
    CHECK(read.errors.empty());
    REQUIRE(read.tables.people.size() == 2);
    CHECK(read.tables.people[0].age_group == AgeGroup::Neonate);
    CHECK(!read.tables.people[1].age_group);
    CHECK(ReadTable("id,role,age_group\na,participant,baby\n").lists("2:3", "no age group"));
}
