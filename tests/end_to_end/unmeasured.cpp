// A card that nobody measured: the same answer in text, JSON and the operator's sheet.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

TEST_CASE("a guessed, declared or predicted card is within nowhere") {
    for (const std::string how : {"guessed", "declared", "predicted"}) {
        CAPTURE(how);
        StudyText text;
        text.card = with(text.card, "entered", how);
        const StudyFolder study(text);
        const auto run = [&](std::vector<std::string> words) {
            return run_program(std::move(words), study.root());
        };
        const Outcome assessed = run({"assess", "plan.toml", "--format", "json"});
        CHECK(assessed.status == 0);
        const nlohmann::json assess = nlohmann::json::parse(assessed.output);
        CHECK(assess["verdict"] == "close");
        for (const nlohmann::json& criterion : assess["people"][0]["criteria"]) {
            CHECK(criterion["verdict"] == "close");
            CHECK(criterion["remark"].get<std::string>().find(how) != std::string::npos);
        }
        CHECK(assess["people"][0]["criteria"][1]["limited_by_origin"] == true);
        CHECK(assess["people"][0]["advice"][0]["code"] == "measure-again");
        const nlohmann::json choose =
            nlohmann::json::parse(run({"choose", "plan.toml", "--format", "json"}).output);
        for (const nlohmann::json& ranked : choose["people"][0]["ranking"])
            CHECK(ranked["verdict"] != "within");
        const Outcome reviewed = run(
            {"review", "cards/epi.toml", "--protectors", "protectors.toml", "--format", "json"});
        CHECK(reviewed.status == 1);
        const nlohmann::json review = nlohmann::json::parse(reviewed.output);
        CHECK(review["sequences"][0]["recommendation"]["code"] == "not-before-known");
        // Whatever is recommended, the first screen says what the level is.
        CHECK(run_short({"review", "cards/epi.toml"}, study.root())
                  .output.find(", " + how + ", not measured: LAeq") != std::string::npos);
        const Outcome sheet = run({"assess", "plan.toml", "--format", "html", "--sheet"});
        CHECK(sheet.output.find(">within") == std::string::npos);
        CHECK(sheet.output.find("nobody measured") != std::string::npos);
        CHECK(run({"assess", "plan.toml"}).output.find("Close to a limit: participant") == 0);
    }
    StudyText entered;
    const StudyFolder study(entered);
    const nlohmann::json within = nlohmann::json::parse(
        run_program({"assess", "plan.toml", "--format", "json"}, study.root()).output);
    CHECK(within["verdict"] == "within");
    CHECK(!within["people"][0]["criteria"][1].contains("limited_by_origin"));
}
