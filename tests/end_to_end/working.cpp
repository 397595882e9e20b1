// The working of every report, redone from what is printed with this test's own arithmetic.
#include <map>
#include <string>

#include "worked.hpp"

using namespace earbudget::test;
using nlohmann::json;

TEST_CASE("working: every number of the demo's exposures and criteria has a step that redoes it") {
    const json result = worked({"assess", demo + "/plan.toml"});
    for (const json& person : result["people"]) {
        CAPTURE(person["id"]);
        check_every_number_is_worked(person);
        CHECK(redone_with(person["working"], "LEX,8h") >= 2);
    }
}

TEST_CASE("working: without the option there is none") {
    const StudyFolder study;
    const Outcome outcome = run_program({"assess", "plan.toml"}, study.root());
    CHECK(outcome.output.find("Working") == std::string::npos);
    const Outcome json_of = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CHECK(!json::parse(json_of.output)["people"][0].contains("working"));
}

TEST_CASE("working: measure works out calibration, background and uncertainty") {
    const json result = worked({"measure", recordings + "/epi-2mm.flac", "--calibration",
                                recordings + "/calibrator.flac", "--calibrator-level", "114",
                                "--background", recordings + "/background.flac"});
    const json& channel = result["recordings"][0]["channels"][0];
    for (const char* formula : {"full-scale level", "LAE = ", "u = √"}) {
        CAPTURE(formula);
        CHECK(redone_with(channel["working"], formula) == 1);
    }
    CHECK(redone_with(channel["working"], "L = 10 lg(10^(L1") >= 1);
}

TEST_CASE("working: the text prints formula, clause, values and result") {
    const StudyFolder study;
    const std::string text = run_program({"assess", "plan.toml", "--working"}, study.root()).output;
    for (const char* part :
         {"\n  Working of ", "LEX,8h = 10 lg Σ (Ti / 8 h)·10^(Li/10)  [ISO 9612:2009, clause 9]",
          "NRR_dB = 26", "factor_at_end = 1", "L_dB"}) {
        CAPTURE(part);
        CHECK(text.find(part) != std::string::npos);
    }
}
