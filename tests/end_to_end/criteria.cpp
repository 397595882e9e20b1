// Criteria through the whole program: which are applied, by default and by name, to whom, on what.
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/near.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string named = "criteria = [\"niosh-rel\", \"iec-60601-2-33\"]\n";

// The small study with a nurse and a parent beside the bore, both for the whole timeline.
StudyText with_company(const std::string& criteria) {
    StudyText text;
    text.card = with(text.card, "LCpeak = 124.0\n", "LCpeak = 124.0\nLZpeak = 126.0\n");
    text.plan = with(text.plan, named, criteria);
    for (const std::string role : {"staff", "accompanying"}) {
        text.plan += "[[person]]\nid = \"" + role + "-1\"\nrole = \"" + role +
                     "\"\nwears = [\"foam\"]\ndays_per_week = 2\n[[person.task]]\nposition = "
                     "\"bore\"\nduring = \"timeline\"\n";
    }
    text.plan += "[[position]]\nid = \"bore\"\ndifference_dB = -6.0\n";
    return text;
}

json assessed_json(const StudyText& text) {
    const StudyFolder study(text);
    const Outcome outcome = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output);
}

std::vector<std::string> ids_of(const json& person) {
    std::vector<std::string> ids;
    for (const json& criterion : person["criteria"]) {
        if (criterion["quantity"] != "peak") ids.push_back(criterion["id"]);
    }
    return ids;
}

const json& criterion_of(const json& person, const std::string& id, bool peak = false) {
    for (const json& criterion : person["criteria"]) {
        if (criterion["id"] == id && (criterion["quantity"] == "peak") == peak) return criterion;
    }
    throw std::out_of_range(id);
}

using Ids = std::vector<std::string>;

}  // namespace

TEST_CASE("a plan that names no criteria gets those of each role, and says so") {
    const json result = assessed_json(with_company(""));
    CHECK(ids_of(result["people"][0]) == Ids{"niosh-rel", "iec-60601-2-33"});
    CHECK(ids_of(result["people"][1]) ==
          Ids{"niosh-rel", "eu-limit", "eu-upper-action", "eu-lower-action"});
    CHECK(ids_of(result["people"][2]) == Ids{"iec-60601-2-33", "who-public-adult"});
    for (const json& person : result["people"])
        CHECK(person["criteria_by_default"] == true);
    const StudyFolder study(with_company(""));
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.output.find("the plan names no criteria") != std::string::npos);
    CHECK(outcome.output.find("role accompanying") != std::string::npos);
    const StudyFolder with_names;
    const Outcome with_criteria = run_program({"assess", "plan.toml"}, with_names.root());
    CHECK(with_criteria.output.find("the plan names no criteria") == std::string::npos);
}

TEST_CASE(
    "all criteria at once: each for its roles, with the quantity and limit of the interface") {
    const json result = assessed_json(with_company(
        "criteria = [\"niosh-rel\", \"osha-pel\", \"osha-action\", \"eu-limit\", "
        "\"eu-upper-action\", \"eu-lower-action\", \"iec-60601-2-33\", \"fda-significant-risk\", "
        "\"who-public-adult\", \"who-public-child\"]\n"));
    CHECK(ids_of(result["people"][0]) == Ids{"niosh-rel", "iec-60601-2-33", "fda-significant-risk",
                                             "who-public-adult", "who-public-child"});
    CHECK(ids_of(result["people"][1]) == Ids{"niosh-rel", "osha-pel", "osha-action", "eu-limit",
                                             "eu-upper-action", "eu-lower-action"});
    CHECK(ids_of(result["people"][2]) ==
          Ids{"iec-60601-2-33", "who-public-adult", "who-public-child"});
    struct Row {
        const char* id;
        const char* quantity;
        const char* unit;
        double limit;
        bool at_ear;
    };
    const std::map<int, std::vector<Row>> expected = {
        {0,
         {{"niosh-rel", "dose", "percent", 100, true},
          {"iec-60601-2-33", "LAeq_1h", "dB", 99, true},
          {"fda-significant-risk", "LAeq_loudest", "dB", 99, true},
          {"who-public-adult", "weekly_dose", "percent", 100, true},
          {"who-public-child", "weekly_dose", "percent", 100, true}}},
        {1,
         {{"osha-pel", "dose", "percent", 100, true},
          {"osha-action", "dose", "percent", 50, false},
          {"eu-limit", "LEX_8h", "dB", 87, true},
          {"eu-upper-action", "LEX_8h", "dB", 85, false},
          {"eu-lower-action", "LEX_8h", "dB", 80, false}}}};
    for (const auto& [person, rows] : expected) {
        for (const Row& row : rows) {
            CAPTURE(row.id);
            const json& criterion = criterion_of(result["people"][person], row.id);
            CHECK(criterion["quantity"] == row.quantity);
            CHECK(criterion["unit"] == row.unit);
            CHECK(criterion["limit"] == row.limit);
            CHECK(criterion["at_ear"] == row.at_ear);
        }
    }
    // 108 dB(A), 26 dB less 1.5 by the NRR and C − A: 83.5 at the ear.
    CHECK(near(criterion_of(result["people"][0], "fda-significant-risk")["value"], 83.5, 1e-9,
               Because::Arithmetic));
    // Staff, 102 dB(A) outside for 16 of 8 × 60 minutes, on each of two days.
    CHECK(near(criterion_of(result["people"][1], "eu-upper-action")["value"],
               102.0 + 10.0 * std::log10(16.0 / 480.0), 0.001, Because::Arithmetic));
    CHECK(near(criterion_of(result["people"][1], "osha-action")["value"],
               100.0 * 16.0 / 480.0 * std::pow(2.0, 12.0 / 5.0), 1e-6, Because::Arithmetic));
    for (const char* id : {"osha-pel", "eu-limit", "eu-upper-action", "eu-lower-action"}) {
        const json& peak = criterion_of(result["people"][1], id, true);
        // What is worn states no H, M and L, so that the peak outside counts everywhere.
        CHECK(peak["at_ear"] == false);
        CHECK(peak["by_bound"] == false);
        CHECK(peak["value"] == (std::string(id) == "osha-pel" ? 120.0 : 118.0));  // Z, C less 6 dB
        CHECK(peak["remark"].get<std::string>().find("outside") != std::string::npos);
    }
}

TEST_CASE(
    "the weekly average of the directive, when the policy asks for it and the days are told") {
    const std::string criteria = "criteria = [\"eu-limit\", \"eu-upper-action\"]\n";
    const json daily = assessed_json(with_company(criteria));
    const json weekly = assessed_json(with_company(criteria + "weekly_average = true\n"));
    for (const char* id : {"eu-limit", "eu-upper-action"}) {
        const json& before = criterion_of(daily["people"][1], id);
        const json& after = criterion_of(weekly["people"][1], id);
        CHECK(after["quantity"] == "LEX_8h");
        // Two days of five: 10 lg 0.4 = −3.98 dB.
        CHECK(near(after["value"].get<double>() - before["value"].get<double>(),
                   10.0 * std::log10(0.4), 1e-9, Because::Arithmetic));
        CHECK(after["remark"].get<std::string>().find("article 3(3)") != std::string::npos);
        CHECK(before["remark"].get<std::string>().find("article 3(3)") == std::string::npos);
    }
    CHECK(weekly["people"][1]["exposure"] == daily["people"][1]["exposure"]);
}

TEST_CASE(
    "own criteria may have a ceiling, be of a week, limit the unweighted peak, be for parents") {
    StudyText text = with_company("criteria = [\"week\", \"loud\"]\n");
    text.plan +=
        "[[criterion]]\nid = \"week\"\nlevel_dB = 70\nhours = 40\nweekly = true\nfor = "
        "[\"accompanying\"]\npeak_dB = 119\n"
        "[[criterion]]\nid = \"loud\"\nlevel_dB = 99\nceiling_dB = 83\n";
    const json result = assessed_json(text);
    const json& parent = result["people"][2];
    CHECK(ids_of(parent) == Ids{"week"});
    // 16 min at 102 − 24.5 = 77.5 dB(A) and 2 min at 62 (unreduced: the background lacks LCeq), on
    // each of two days.
    const double dose =
        100.0 * 2.0 / 2400.0 * (16.0 * std::pow(2.0, 7.5 / 3.0) + 2.0 * std::pow(2.0, -8.0 / 3.0));
    CHECK(near(criterion_of(parent, "week")["value"], dose, 0.3, Because::OwnTolerance));
    CHECK(criterion_of(parent, "week")["quantity"] == "weekly_dose");
    CHECK(criterion_of(parent, "week", true)["value"] == 120.0);
    CHECK(criterion_of(parent, "week", true)["verdict"] == "over");
    // 83.5 dB(A) is above the ceiling of 83 for any time, though the dose is small.
    const json& participant = criterion_of(result["people"][0], "loud");
    CHECK(participant["value"] < 100.0);
    CHECK(participant["verdict"] == "over");
    CHECK(criterion_of(result["people"][1], "loud")["verdict"] != "over");
}

TEST_CASE("an own criterion that nobody names counts for everyone whom it is for") {
    const std::string house = "[[criterion]]\nid = \"house\"\nlevel_dB = 80\n";
    StudyText text = with_company(named);
    text.plan += house;
    const json result = assessed_json(text);
    CHECK(ids_of(result["people"][0]) == Ids{"niosh-rel", "iec-60601-2-33", "house"});
    CHECK(ids_of(result["people"][1]).back() == "house");
    for (const std::string& id : ids_of(result["people"][2]))
        CHECK(id != "house");  // not for who accompanies
    // Without `criteria`, beside those of the role, of which it is none.
    text = with_company("");
    text.plan += house;
    const StudyFolder study(text);
    CHECK(ids_of(assessed_json(text)["people"][0]).back() == "house");
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    const std::size_t by_default = outcome.output.find("by default");
    REQUIRE(by_default != std::string::npos);
    CHECK(outcome.output.substr(by_default, 80).find("house") == std::string::npos);
    // Named by one person: for that one alone.
    text = with_company(named);
    text.plan =
        with(text.plan, "wears = [\"foam\"]\n", "wears = [\"foam\"]\ncriteria = [\"house\"]\n");
    text.plan += house;
    CHECK(ids_of(assessed_json(text)["people"][0]) == Ids{"house"});
    CHECK(ids_of(assessed_json(text)["people"][1]) == Ids{"niosh-rel"});
    // Named by who accompanies alone, for whom it is not: as if nobody had.
    text = with_company(named);
    text.plan = with(text.plan, "role = \"accompanying\"\n",
                     "role = \"accompanying\"\ncriteria = [\"house\"]\n");
    text.plan += house;
    CHECK(ids_of(assessed_json(text)["people"][0]).back() == "house");
}
