// Tables for spreadsheets: the figures of the JSON, one row each, safe from formulas.
#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "files/error_list.hpp"
#include "report/csv_table.hpp"
#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"
#include "tables/cells.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// The rows of a table as it was printed, read by what reads those of a unit.
std::vector<std::vector<std::string>> rows_of(std::string text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
    std::string lines;
    for (const char c : text)
        if (c != '\r') lines += c;
    files::ErrorList errors;
    auto rows = tables::cells_of(lines, "csv", errors).rows;
    CHECK(errors.empty());
    REQUIRE(rows.back().empty());
    rows.pop_back();
    for (const auto& row : rows)
        REQUIRE(row.size() == rows.front().size());
    return rows;
}

/// The cell of a row below a heading.
std::string cell(const std::vector<std::vector<std::string>>& rows, std::size_t row,
                 const std::string& heading) {
    const auto& head = rows.front();
    const auto found = std::find(head.begin(), head.end(), heading);
    CAPTURE(heading);
    REQUIRE(found != head.end());
    return rows.at(row).at(static_cast<std::size_t>(found - head.begin()));
}

/// The very number, or nothing for null.
void check_is(const std::string& text, const nlohmann::json& value) {
    if (value.is_null()) {
        CHECK(text.empty());
    } else if (value.is_boolean()) {
        CHECK(text == (value.get<bool>() ? "true" : "false"));
    } else if (value.is_number()) {
        CHECK(std::stod(text) == value.get<double>());
    } else {
        CHECK(text == value.get<std::string>());
    }
}

struct Both {
    nlohmann::json json;
    std::vector<std::vector<std::string>> rows;
};

Both both(std::vector<std::string> words) {
    words.insert(words.end(), {"--format", "json"});
    const Outcome report = run_program(words, EARBUDGET_SOURCE_DIR);
    words.back() = "csv";
    const Outcome csv = run_program(words, EARBUDGET_SOURCE_DIR);
    CHECK(csv.status == report.status);
    CHECK(csv.errors.empty());
    CHECK(holds(csv.output, "\r\n"));
    return {nlohmann::json::parse(report.output), rows_of(csv.output)};
}

const std::string plan_of_demo = "sequences/saltmarsh/plan.toml";
const std::string plugs_of_demo = "sequences/saltmarsh/protectors.toml";

}  // namespace

TEST_CASE("assess as a table has a row a person and criterion, with the figures of the JSON") {
    const auto [answer, rows] = both({"assess", plan_of_demo});
    std::size_t row = 0;
    for (const auto& person : answer["people"]) {
        for (const auto& criterion : person["criteria"]) {
            ++row;
            check_is(cell(rows, row, "person"), person["id"]);
            check_is(cell(rows, row, "person_verdict"), person["verdict"]);
            check_is(cell(rows, row, "criterion"), criterion["id"]);
            for (const std::string key : {"quantity", "at_ear", "value", "limit", "unit",
                                          "margin_dB", "probability_over", "verdict", "kind",
                                          "decides"})
                check_is(cell(rows, row, key), criterion[key]);
            check_is(cell(rows, row, "exposure_s"), person["exposure"]["seconds"]);
            for (const std::string key :
                 {"LAeq_dB", "at_ear_LAeq_dB", "LEX_8h_dB", "at_ear_LEX_8h_dB"})
                check_is(cell(rows, row, key), person["exposure"][key]);
            CHECK(cell(rows, row, "examples") == "false");
        }
    }
    CHECK(rows.size() == row + 1);
    CHECK(row > 8);
}

TEST_CASE("choose as a table has a row a person and thing worn, best first") {
    const auto [answer, rows] = both({"choose", plan_of_demo});
    std::size_t row = 0;
    for (const auto& person : answer["people"]) {
        std::size_t rank = 0;
        for (const auto& ranked : person["ranking"]) {
            check_is(cell(rows, ++row, "person"), person["id"]);
            CHECK(cell(rows, row, "rank") == std::to_string(++rank));
            if (ranked["wears"].size() == 2)
                CHECK(cell(rows, row, "wears") == ranked["wears"][0].get<std::string>() + " + " +
                                                      ranked["wears"][1].get<std::string>());
            for (const std::string key : {"method", "at_ear_LEX_8h_dB", "worst_margin_dB",
                                          "probability_over", "verdict", "fits_head_coil"})
                check_is(cell(rows, row, key), ranked[key]);
        }
        row += person["ranking"].empty() ? 1 : 0;
    }
    CHECK(rows.size() == row + 1);
}

TEST_CASE("review as a table has a row a sequence, thing worn and criterion") {
    const auto [answer, rows] =
        both({"review", "sequences/saltmarsh/cards/epi-2mm.toml",
              "sequences/saltmarsh/cards/diffusion.toml", "--protectors", plugs_of_demo});
    std::size_t row = 0;
    for (const auto& sequence : answer["sequences"]) {
        for (const auto& permitted : sequence["permitted"]) {
            check_is(cell(rows, ++row, "sequence"), sequence["id"]);
            check_is(cell(rows, row, "LAeq_dB"), sequence["levels"]["LAeq_dB"]);
            check_is(cell(rows, row, "LCpeak_dB"), sequence["levels"]["LCpeak_dB"]);
            check_is(cell(rows, row, "criterion"), permitted["criterion"]);
            check_is(cell(rows, row, "permitted_s_per_day"), permitted["seconds_per_day"]);
            check_is(cell(rows, row, "confident_s_per_day"),
                     permitted["confident_seconds_per_day"]);
            CHECK((cell(rows, row, "wears") == "nothing") == permitted["wears"].empty());
        }
    }
    CHECK(rows.size() == row + 1);
    CHECK(row > 20);
}

TEST_CASE("ratings as a table has a row a protector and rating") {
    const auto [answer, rows] = both({"ratings", plugs_of_demo});
    CHECK(rows.size() == 1 + 4 * 5);
    for (std::size_t row = 1; row < rows.size(); ++row) {
        const auto& protector = answer["protectors"][(row - 1) / 5];
        const std::string rating = cell(rows, row, "rating");
        check_is(cell(rows, row, "id"), protector["id"]);
        check_is(cell(rows, row, "stated_dB"), protector["stated"][rating]);
        check_is(cell(rows, row, "computed_dB"), protector["computed"][rating]);
        check_is(cell(rows, row, "difference_dB"),
                 protector["differences"][(row - 1) % 5]["difference_dB"]);
    }
}

TEST_CASE("a table is asked for by the ending of its file, and measure has none") {
    const StudyFolder study;
    CHECK(run_program({"assess", "plan.toml", "--output", "t.csv"}, study.root()).status == 0);
    CHECK(content_of(study.folder().path("t.csv")) ==
          run_program({"assess", "plan.toml", "--format", "csv"}, study.root()).output);
    CHECK(content_of(study.folder().path("t.csv")).starts_with("person,role,"));
    CHECK(run_program({"assess", "plan.toml", "--output", "t.csv"}, study.root()).status == 2);
    const Outcome measured = run_program({"measure", "a.wav", "--format", "csv"}, study.root());
    CHECK(measured.status == 2);
    CHECK(holds(measured.errors, "text, json or html"));
    // What a table cannot hold is not left out in silence.
    for (const std::vector<std::string>& more :
         {std::vector<std::string>{"--against", "plan.toml"}, {"--working"}}) {
        std::vector<std::string> words = {"assess", "plan.toml", "--format", "csv"};
        words.insert(words.end(), more.begin(), more.end());
        const Outcome refused = run_program(words, study.root());
        CHECK(refused.status == 2);
        CHECK(holds(refused.errors, "holds neither --against nor --working"));
    }
}

TEST_CASE("a text that a spreadsheet would compute stays a text, and numbers stay numbers") {
    using Row = std::vector<report::CsvCell>;
    const std::string table = report::csv_table(
        {"a", "b_dB"},
        {Row{std::string("=1+2"), -1.5}, Row{std::string("@x,\"y\""), -0.0}, Row{true, {}},
         Row{std::string("\tx"), 1e300 * 1e300}, Row{std::string("-3"), 79.32227811968083}});
    CHECK(table ==
          "a,b_dB\r\n'=1+2,-1.5\r\n\"'@x,\"\"y\"\"\",0\r\ntrue,\r\n\\x09x,\r\n'-3,"
          "79.32227811968083\r\n");
    // Only letters that are not of ASCII need the mark by which spreadsheets know UTF-8.
    CHECK(report::csv_table({"a"}, {Row{std::string("J\xC3\xB6rg")}}) ==
          "\xEF\xBB\xBF"
          "a\r\nJ\xC3\xB6rg\r\n");
    StudyText text;
    text.plan = with(text.plan, "id = \"participant\"", "id = \"=cmd|' /C calc'!A0\"");
    const StudyFolder study(text);
    const Outcome outcome = run_program({"assess", "plan.toml", "--format", "csv"}, study.root());
    CHECK(holds(outcome.output, "\r\n'=cmd|' /C calc'!A0,participant,foam,"));
}
