// Comma-separated values hold what a spreadsheet takes for a name or a number, never a formula.
#include "report/csv_field.hpp"

#include <cmath>
#include <limits>
#include <string>

#include <doctest/doctest.h>

using namespace earbudget::report;

TEST_CASE("names of files begin no formula, whatever a spreadsheet drops before it") {
    CHECK(csv_file_name("epi.wav") == "epi.wav");
    CHECK(csv_file_name("a,b.wav") == "\"a,b.wav\"");
    CHECK(csv_file_name("a\"b.wav") == "\"a\"\"b.wav\"");
    CHECK(csv_file_name("a;=b.wav") == "\"a;=b.wav\"");
    for (const std::string sign : {"=", "+", "-", "@", "＝", "＋", "－", "＠"}) {
        for (const std::string before : {"", " ", "'", "\"", " \" '"}) {
            const std::string name = before + sign + "1+2.wav";
            CAPTURE(name);
            const std::string cell = csv_file_name(name);
            CHECK(cell.substr(cell.starts_with('"') ? 1 : 0).starts_with("./"));
        }
    }
    CHECK(csv_file_name("\t=1\r\n.wav") == "\\x09=1\\x0d\\x0a.wav");
    CHECK(csv_file_name("\x1b\xff\u202e.wav") == "\\x1b\\xff\\u{202e}.wav");
}

TEST_CASE("numbers are plain, never -0, and what is none is an empty cell") {
    CHECK(csv_number(89.98765, 3) == "89.988");
    CHECK(csv_number(-12.5, 3) == "-12.500");
    CHECK(csv_number(-0.0004, 3) == "0.000");
    CHECK(csv_number(-0.0, 3) == "0.000");
    CHECK(csv_number(std::nan(""), 3).empty());
    CHECK(csv_number(-std::numeric_limits<double>::infinity(), 3).empty());
}
