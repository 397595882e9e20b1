// The sheet at the scanner: who wears what, the runs, when to stop, whom to call; what has no room
// is named.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/page.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

Outcome sheet_of(const std::string& plan, const std::string& folder,
                 const std::vector<std::string>& more = {"--format", "html"}) {
    std::vector<std::string> words = {"assess", plan, "--sheet"};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(words, folder);
}

}  // namespace

TEST_CASE("the sheet of the demo says who wears what, when to stop and whom to call") {
    const Outcome outcome = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR);
    CHECK(outcome.status == 1);
    const std::string& page = outcome.output;
    check_page(page);
    for (const char* words :
         {"Formable foam plug", "Small flanged plug", "do not run as planned",
          "Roll-down foam plug", "pull the ear up and back", "epi-2mm, 3 × 12 min",
          "then rest 2 min", "squeeze ball", "pain, ringing or dulled hearing",
          "Saltmarsh duty physicist", "internal 204", "no more"}) {
        CAPTURE(words);
        CHECK(page.find(words) != std::string::npos);
    }
    CHECK(page.find("Left out") == std::string::npos);
    CHECK(page.find("<body class=\"sheet\">") != std::string::npos);
}

TEST_CASE("the sheet's runs end at the part of the allowance that the JSON has") {
    const Outcome outcome = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR);
    const Outcome json = run_program(
        {"assess", "sequences/saltmarsh/plan.toml", "--format", "json"}, EARBUDGET_SOURCE_DIR);
    const auto result = nlohmann::json::parse(json.output);
    double highest = 0.0;
    for (const auto& criterion : result["people"][1]["course"]["criteria"])
        highest = std::max(highest, criterion["after_segment_percent"].back().get<double>());
    char text[32];
    std::snprintf(text, sizeof text, "%.1f %%", highest);
    CHECK(outcome.output.find(text) != std::string::npos);
}

TEST_CASE("a sheet is a page and holds neither a comparison nor the working") {
    const StudyFolder study;
    const std::vector<std::vector<std::string>> wrong = {
        {},
        {"--format", "json"},
        {"--format", "html", "--working"},
        {"--format", "html", "--against", "plan.toml"}};
    for (const auto& more : wrong) {
        const Outcome outcome = sheet_of("plan.toml", study.root(), more);
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(lines_of(outcome.errors) == 1);
        CHECK(outcome.errors.find("--sheet") != std::string::npos);
        CHECK(outcome.errors.find("accepted") != std::string::npos);
    }
}

TEST_CASE("without a contact the sheet leaves a line to fill in") {
    const StudyFolder study;
    const Outcome outcome = sheet_of("plan.toml", study.root());
    CHECK(outcome.status == 0);
    CHECK(outcome.output.find("not stated in the plan") != std::string::npos);
}

TEST_CASE("what has no room on one sheet is named, nothing is cut silently") {
    StudyText text;
    for (int n = 0; n < 20; ++n)
        text.plan += "[[timeline]]\nsequence = \"epi\"\nduration = \"10 s\"\n";
    for (int n = 0; n < 9; ++n)
        text.plan += "[[person]]\nid = \"p" + std::to_string(n) +
                     "\"\nrole = \"participant\"\nwears = [\"" + (n == 1 ? "muff" : "foam") +
                     "\"]\n";
    const StudyFolder study(text);
    const Outcome outcome = sheet_of("plan.toml", study.root());
    REQUIRE(outcome.status <= 1);
    check_page(outcome.output);
    const std::string left = between(outcome.output, "Left out", "</p>");
    CHECK(left.find(" (within), ") != std::string::npos);  // by name
    CHECK(left.find(" and 3 more") != std::string::npos);
    CHECK(left.find("7 more people beside the runs") != std::string::npos);
    CHECK(left.find("11 more runs") != std::string::npos);
    CHECK(outcome.output.find("class=\"sheet small\"") != std::string::npos);
}

TEST_CASE("ratings have no page") {
    const Outcome outcome =
        run_program({"ratings", "sequences/saltmarsh/protectors.toml", "--format", "html"},
                    EARBUDGET_SOURCE_DIR);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
}
