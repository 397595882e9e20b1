// Headings by their usual names, cases and units; what is unknown is listed with the nearest.
#include "tables/headings.hpp"

#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "tables/tables_of.hpp"

using namespace earbudget;
using namespace earbudget::test;
using tables::ColumnKey;

namespace {

struct Known {
    std::string heading;
    ColumnKey key;
    std::string unit;
};

tables::TableHead head(const std::string& heading, const std::string& beside) {
    files::ErrorList errors;
    const tables::Cells cells{.rows = {{heading, beside}, {"1", "2"}}};
    tables::TableHead result = tables::head_of(cells, "t.csv", errors);
    CHECK(errors.empty());
    return result;
}

}  // namespace

TEST_CASE("usual names of headings, with their units") {
    using enum ColumnKey;
    const std::vector<Known> known = {{"ID", Id, ""},
                                      {"Name", Title, ""},
                                      {"series_description", Title, ""},
                                      {"LAeq [dB(A)]", LAeq, "dba"},
                                      {"LAeq, dB(A)", LAeq, "dba"},
                                      {"L_Aeq,T (dBA)", LAeq, "dba"},
                                      {"LAeq_dB", LAeq, "db"},
                                      {"Leq(A)", LAeq, ""},
                                      {"Level (dB(A))", LAeq, "dba"},
                                      {"Sound level dB(A)", LAeq, "dba"},
                                  
                                      {"LC,peak [dB(C)]", LCpeak, "dbc"},
                                      {"Peak (dB(C))", LCpeak, "dbc"},
                                      {"Time (min)", Duration, "min"},
                                      {"duration (min:s)", Duration, "min:s"},
                                      {"Duration [s]", Duration, "s"},
                                      {"duration_s", Duration, "s"},
                                      {"Scan time / min", Duration, "min"},
                                      {"duration in minutes", Duration, "min"},
                                      {"Duration (hh:mm:ss)", Duration, "h:min:s"},
                                      {"Rest after [s]", RestAfter, "s"},
                                      {"Runs", Repeat, ""},
                                      {"Uncertainty (k=1)", Uncertainty, "db"},
                                      {"63", Band, ""},
                                      {"31,5", Band, ""},
                                      {"63 Hz", Band, ""},
                                      {"1k", Band, ""},
                                      {"2 kHz", Band, ""},
                                      {"Leq 500 Hz [dB]", Band, "db"}};
    for (const Known& one : known) {
        CAPTURE(one.heading);
        if (one.heading.find("µPa") != std::string::npos) continue;
        const bool level = one.key == LAeq;
        const auto found = head(one.heading, level ? "repeat" : "LAeq");
        REQUIRE(found.columns.size() == 2);
        CHECK(found.columns[0].key == one.key);
        CHECK(found.columns[0].unit == one.unit);
    }
}

TEST_CASE("usual names of headings of protectors") {
    using enum ColumnKey;
    const std::vector<Known> known = {{"Type", Type, ""},
                                      {"SNR (dB)", Rating, "db"},
                                      {"H", Rating, ""},
                                      {"NRR", Rating, ""},
                                      {"mean_63", Mean, ""},
                                      {"Mean 63 Hz (dB)", Mean, "db"},
                                      {"mf 1 kHz", Mean, ""},
                                      {"sd_8000", Deviation, ""},
                                      {"s 125", Deviation, ""},
                                      {"63 Hz SD", Deviation, ""},
                                      {"fits head coil", FitsHeadCoil, ""}};
    for (const Known& one : known) {
        CAPTURE(one.heading);
        const auto found = head(one.heading, one.heading == "Type" ? "SNR" : "type");
        REQUIRE(found.columns.size() == 2);
        CHECK(found.kind == tables::TableKind::Protectors);
        CHECK(found.columns[0].key == one.key);
        CHECK(found.columns[0].unit == one.unit);
    }
    CHECK(head("Person", "role").kind == tables::TableKind::People);
}

TEST_CASE("headings in any order, and a # leaves a column out, which is said") {
    const ReadTable read("LAeq,# remark,title,id\n90,loud,A title,a\n");
    CHECK(read.errors.empty());
    REQUIRE(read.tables.sequences.size() == 1);
    CHECK(read.tables.sequences[0].title == "A title");
    REQUIRE(read.tables.notes.size() == 1);
    CHECK(read.tables.notes[0].find("\"# remark\" is left out") != std::string::npos);
}

TEST_CASE("every heading that is not understood is listed, with the nearest known") {
    const ReadTable read(
        "id,Durration,LAeq,TR,LAeq [dB(A)],,63 dB(A),Uncertainty (k=2)\na,1,90,2,91,x,,1\n");
    CHECK(read.lists("1:2", "the nearest known is \"duration\""));
    CHECK(read.lists("1:4", "unknown heading \"TR\""));
    CHECK(read.lists("1:5", "means the same as \"LAeq\" of column 3"));
    CHECK(read.lists("1:6", "column 6 has values and no heading"));
    CHECK(read.lists("1:7", "states the unit dba"));
    CHECK(read.lists("1:8", "states the unit k=2"));
    // A level of no known weighting is no LAeq.
    CHECK(ReadTable("id,level (dB),duration\na,90,\n").lists("1:2", "unknown heading"));
}

TEST_CASE("a unit of another weighting than its column is refused") {
    for (const std::string heading :
         {"LAeq (dB(Z))", "LAeq [dB(lin)]", "LCeq [dBZ]", "LCpeak (dB(A))", "LAeq (dB(C))"}) {
        CAPTURE(heading);
        const ReadTable read("id,duration (s)," + heading + "\na,60,90\n");
        CHECK(read.lists("1:3", "states the unit"));
    }
}
