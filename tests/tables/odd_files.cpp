// Tables in every way in which spreadsheets save them say the same.
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/near.hpp"
#include "tables/tables_of.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Of ASCII and of letters below U+0800 in UTF-8.
std::string in_utf16(const std::string& text, bool low_byte_first) {
    std::string bytes = low_byte_first ? "\xFF\xFE" : "\xFE\xFF";
    for (std::size_t n = 0; n < text.size(); ++n) {
        unsigned code = static_cast<unsigned char>(text[n]);
        if (code >= 0xC0) {
            ++n;
            code = ((code & 0x1FU) << 6U) | (static_cast<unsigned char>(text[n]) & 0x3FU);
        }
        const char low = static_cast<char>(code & 0xFFU), high = static_cast<char>(code >> 8U);
        bytes += low_byte_first ? low : high;
        bytes += low_byte_first ? high : low;
    }
    return bytes;
}

std::string with_each(std::string text, const std::string& old, const std::string& fresh) {
    for (std::size_t at = text.find(old); at != text.npos; at = text.find(old, at + fresh.size()))
        text.replace(at, old.size(), fresh);
    return text;
}

// "Kürzel" shows whether letters come through.
const std::string plain =
    "id,title,duration (s),repeat,rest_after (min),LAeq,LCeq,LCpeak,uncertainty,125,250\n"
    "epi,K\xC3\xBCrzel 2 mm,480.5,2,1.5,104.25,105,118,1.5,,\n"
    "\n"
    "loc,Localiser,20,,,95,,,,,\n";

void check_is_plain(const std::string& bytes) {
    const ReadTable read(bytes);
    CHECK(read.errors.empty());
    const auto& rows = read.tables.sequences;
    REQUIRE(rows.size() == 2);
    CHECK(rows[0].id == "epi");
    CHECK(rows[0].title == "K\xC3\xBCrzel 2 mm");
    CHECK(near(rows[0].duration->count(), 480.5, 1e-9, Because::Arithmetic));
    CHECK(rows[0].repeat == 2);
    CHECK(near(rows[0].rest_after->count(), 90.0, 1e-9, Because::Arithmetic));
    CHECK(near(rows[0].levels->LAeq.dB(), 104.25, 1e-9, Because::Arithmetic));
    CHECK(near(rows[0].levels->LCeq->dB(), 105.0, 1e-9, Because::Arithmetic));
    CHECK(near(rows[0].levels->uncertainty->dB(), 1.5, 1e-9, Because::Arithmetic));
    CHECK(rows[0].at.line == 2);
    CHECK(rows[1].at.line == 4);
    CHECK(!rows[1].rest_after);
    CHECK(!rows[1].levels->LCeq);
}

}  // namespace

TEST_CASE("one table in every encoding, with every separator and line end, reads the same") {
    check_is_plain(plain);
    check_is_plain("\xEF\xBB\xBF" + plain);
    check_is_plain(in_utf16(plain, true));
    check_is_plain(in_utf16(plain, false));
    check_is_plain(with_each(plain, "\xC3\xBC", "\xFC"));
    for (const std::string end : {"\r\n", "\r"}) {
        CAPTURE(end == "\r");
        check_is_plain(with_each(plain, "\n", end));
        check_is_plain(in_utf16(with_each(plain, "\n", end), true));
    }
    check_is_plain(with_each(plain, ",", "\t"));
    const std::string semicolons = with_each(plain, ",", ";");
    check_is_plain(semicolons);
    check_is_plain(with_each(with_each(semicolons, "480.5", "480,5"), "104.25", "104,25"));
    check_is_plain("sep=;\n" + semicolons);
    check_is_plain(with_each(plain, "480.5", "\"480,5\""));
    check_is_plain(with_each(plain, "K\xC3\xBCrzel 2 mm", "\"K\xC3\xBCrzel\n2 mm\""));
    check_is_plain(with_each(plain, "\n", ",,,\n") + ",,,,,,,\n\n\n,,\n");
    check_is_plain(plain.substr(0, plain.size() - 1));
}

TEST_CASE("Windows-1252 is named where it was taken") {
    CHECK(ReadTable(plain).tables.notes.empty());
    const ReadTable read(with_each(plain, "\xC3\xBC", "\xFC"));
    REQUIRE(read.tables.notes.size() == 1);
    CHECK(read.tables.notes[0].find("Windows-1252") != std::string::npos);
}

TEST_CASE("what is no table of text is refused by what it is") {
    const auto refused = [](const std::string& bytes, const std::string& words) {
        CAPTURE(words);
        const ReadTable read(bytes);
        CHECK(read.errors.size() == 1);
        CHECK(read.lists("1:1", words));
        CHECK(read.tables.sequences.empty());
    };
    refused("PK\x03\x04 and so on", "spreadsheet");
    refused("", "the table is empty");
    refused("\n,,\n\n", "the table is empty");
    refused(in_utf16(plain, true) + "x", "ends within a character");
    refused(in_utf16(plain, true) + std::string("\x00\xD8", 2), "half a character");
    refused(in_utf16(plain, true).substr(2), "UTF-16");
    refused(with_each(plain, "\xC3\xBC", std::string("\0", 1)), "zero");
    refused(with_each(plain, "\xC3\xBC", "\x81"), "nor Windows-1252");
    refused("comment,note\na,b\n", "does not tell what the table is of");
    refused("id,title\na,b\n", "does not tell what the table is of");
    refused("id,LAeq\n\n", "without a row");
}

TEST_CASE("quotes that are wrong are told by row and column") {
    CHECK(ReadTable("id,title,LAeq\na,b,90\nc,5\" plug,91\n").lists("3:2", "quotation mark"));
    CHECK(ReadTable("id,title,LAeq\na,b,90\nc,\"5 plug,91\n").lists("3:2", "quotation mark"));
    const ReadTable right("id,title,LAeq\na,\"5\"\" plug, \"\"soft\"\"\",90\n");
    REQUIRE(right.tables.sequences.size() == 1);
    CHECK(right.tables.sequences[0].title == "5\" plug, \"soft\"");
}

TEST_CASE("a character that cannot be seen is refused where it stands") {
    CHECK(ReadTable("id,title,LAeq\na,b\xE2\x80\xAE,90\n").lists("2:2", "cannot be seen"));
}
