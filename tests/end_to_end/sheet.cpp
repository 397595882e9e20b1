// The sheet at the scanner: what to hand out to whom, the runs, when to stop, whom to call, lines
// to write on; nothing is left out.
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

TEST_CASE("the sheet of the demo says what to hand out, when to stop and whom to call") {
    const Outcome outcome = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR);
    CHECK(outcome.status == 1);
    const std::string& page = outcome.output;
    check_page(page);
    for (const char* words :
         {"Formable foam plug", "In the plan Small flanged plug", "do not run as planned",
          "Roll-down foam plug", "pull the ear up and back", "Echo planar, 2 mm; 3 × 12 min",
          "then rest 2 min", "squeeze ball", "pain, ringing or dulled hearing",
          "Saltmarsh duty physicist", "internal 204", "wearing Slim earmuff"}) {
        CAPTURE(words);
        CHECK(page.find(words) != std::string::npos);
    }
    // Titles alone where they tell things apart.
    for (const char* id : {"epi-2mm", "muff-slim", "flanged-small", "Left out", "…"}) {
        CAPTURE(id);
        CHECK(page.find(id) == std::string::npos);
    }
}

TEST_CASE("in bold stands what keeps the limits, as choose answers, and beside it a spare") {
    const std::string page = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR).output;
    const auto choice = nlohmann::json::parse(
        run_program({"choose", "sequences/saltmarsh/plan.toml", "--format", "json"},
                    EARBUDGET_SOURCE_DIR)
            .output);
    REQUIRE(choice["people"][1]["ranking"][0]["wears"][0] == "muff-slim");
    const std::string row = between(page, "<bdi>pilot-b</bdi></th>", "</tr>");
    CHECK(row.find("<strong><bdi>Slim earmuff</bdi></strong>") != std::string::npos);
    CHECK(row.find("<strong><bdi>Small") == std::string::npos);
    CHECK(between(page, "<bdi>pilot-a</bdi></th>", "</tr>")
              .find("<strong><bdi>Formable foam plug</bdi></strong></div></td>") !=
          std::string::npos);
    const std::string spare = row.substr(row.find("spare"));
    CHECK(spare.substr(0, spare.find("</td>")).find("nothing else can be handed out: call") !=
          std::string::npos);
}

TEST_CASE("the sheet has lines to write on and the fingerprint to compare") {
    const std::string page = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR).output;
    const auto report = nlohmann::json::parse(
        run_program({"assess", "sequences/saltmarsh/plan.toml", "--format", "json"},
                    EARBUDGET_SOURCE_DIR)
            .output);
    const std::string hash = report["fingerprint"];
    CHECK(page.find(hash) != std::string::npos);
    CHECK(page.find(hash.substr(0, 4) + " " + hash.substr(4, 4) + " " + hash.substr(8, 4)) !=
          std::string::npos);
    CHECK(page.find("a card or the catalogue changes") != std::string::npos);
    CHECK(page.find("Not as planned with") < page.find("Fingerprint"));  // the worst first
    const std::string lines = between(page, "id=\"writing\"", "</section>");
    for (const char* words : {"participant&#39;s code", "left ear checked", "right ear checked",
                              "time really run", "stopped because", "signature"}) {
        CAPTURE(words);
        CHECK(lines.find(words) != std::string::npos);
    }
    CHECK(count_of(lines, "<th scope=\"row\"") == 3);  // not the operator
}

TEST_CASE("studies that differ in a card alone have two fingerprints, equal ones have one") {
    const auto fingerprint = [](const StudyText& text) -> std::string {
        const StudyFolder study(text);
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--format", "json"}, study.root());
        return nlohmann::json::parse(outcome.output)["fingerprint"];
    };
    const StudyText one;
    StudyText other;
    other.card = with(other.card, "LAeq = 108.0", "LAeq = 108.1");
    CHECK(fingerprint(one) == fingerprint(StudyText()));
    CHECK(fingerprint(one) != fingerprint(other));
    StudyText catalogue;
    catalogue.protectors += "# the same catalogue, other bytes\n";
    CHECK(fingerprint(one) != fingerprint(catalogue));
}

TEST_CASE("who must not start stands first, and beside them no protector in bold") {
    StudyText text;
    text.card = with(text.card, "LAeq = 108.0", "LAeq = 138.0");
    text.card = with(text.card, "LCeq = 109.5", "LCeq = 139.5");
    text.card = with(text.card, "LCpeak = 124.0", "LCpeak = 154.0");
    const StudyFolder study(text);
    const Outcome outcome = sheet_of("plan.toml", study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == 1);
    const std::string& page = outcome.output;
    check_page(page);
    CHECK(page.find("Do not start with participant</bdi>") < page.find("Fingerprint"));
    const std::string row = between(page, "<bdi>participant</bdi></th>", "</tr>");
    CHECK(row.find("<strong><bdi>do not start, call</bdi></strong>") != std::string::npos);
    CHECK(count_of(row, "<strong>") == 1);
}

TEST_CASE("the sheet's runs end at the part of the allowance that the JSON has") {
    const Outcome outcome = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR);
    const Outcome as_json = run_program(
        {"assess", "sequences/saltmarsh/plan.toml", "--format", "json"}, EARBUDGET_SOURCE_DIR);
    const auto result = nlohmann::json::parse(as_json.output);
    double highest = 0.0;
    for (const auto& criterion : result["people"][0]["course"]["criteria"])
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

TEST_CASE("nothing is left out of the sheet, however many people, runs and words") {
    StudyText text;
    std::string long_words;
    for (int n = 0; n < 40; ++n)
        long_words += "then press " + std::to_string(n) + ", ";
    text.plan += "[contact]\nphone = \"" + long_words + "\"\n";
    for (int n = 0; n < 20; ++n)
        text.plan +=
            "[[timeline]]\nsequence = \"epi\"\nduration = \"" + std::to_string(n + 10) + " s\"\n";
    for (int n = 0; n < 9; ++n)
        text.plan += "[[person]]\nid = \"p" + std::to_string(n) +
                     "\"\nrole = \"participant\"\nsessions_per_day = " + std::to_string(1 + n / 2) +
                     "\nwears = [\"foam\"]\n";
    const StudyFolder study(text);
    const Outcome outcome = sheet_of("plan.toml", study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    check_page(outcome.output);
    const std::string& page = outcome.output;
    CHECK(page.find(long_words) != std::string::npos);
    const std::string people = between(page, "id=\"people\"", "</section>");
    const std::string runs = between(page, "id=\"runs\"", "</section>");
    for (int n = 0; n < 9; ++n) {
        const std::string id = "p" + std::to_string(n);
        CAPTURE(id);
        CHECK(people.find(id) != std::string::npos);
    }
    CHECK(runs.find("participant and 2 alike") != std::string::npos);
    CHECK(people.find("<bdi>participant, p0, p1</bdi>") != std::string::npos);  // alike: one row
    for (int n = 0; n < 20; ++n)
        CHECK(runs.find("; " + std::to_string(n + 10) + " s") != std::string::npos);
    CHECK(page.find("Left out") == std::string::npos);
    CHECK(page.find("…") == std::string::npos);
    CHECK(page.find("class=\"sheet small\"") != std::string::npos);
}

TEST_CASE("what the plan says is worn and may hold metal is said, and equal titles get their ids") {
    StudyText text;
    text.protectors = with(text.protectors, "metal_free = true\n", "title = \"Plug\"\n");
    text.protectors += "title = \"Plug\"\nfits_head_coil = true\n";
    const StudyFolder study(text);
    const std::string page = sheet_of("plan.toml", study.root()).output;
    check_page(page);
    const std::string metal = between(page, "Not known to be free of metal", "</p>");
    CHECK(metal.find("Plug (foam)") != std::string::npos);
    CHECK(metal.find("participant") != std::string::npos);
    CHECK(page.find("<strong><bdi>Plug (foam)</bdi></strong>") != std::string::npos);
    CHECK(page.find("Not known") < page.find("id=\"people\""));
}

TEST_CASE("the sheet names the limit that decides, as the text does") {
    const std::string demo = sheet_of("sequences/saltmarsh/plan.toml", EARBUDGET_SOURCE_DIR).output;
    CHECK(between(demo, "<bdi>operator</bdi></th>", "</tr>").find("of niosh-rel") !=
          std::string::npos);
    StudyText text;
    const std::string house = "[[criterion]]\nid = \"house\"\nlevel_dB = 105\nhours = 8\n";
    SUBCASE("a level that is not permitted for any time") {
        // At the ear 109.5 − 26 dB.
        text.plan += house + "ceiling_dB = 80\n";
        const std::string page = sheet_of("plan.toml", StudyFolder(text).root()).output;
        check_page(page);
        CHECK(page.find("house: a level of 83.5 dB(A) is above 80 dB(A)") != std::string::npos);
        CHECK(page.find("Used of house (house) after each run") != std::string::npos);
        CHECK(page.find("over in this run") != std::string::npos);
        CHECK(page.find("niosh-rel") == std::string::npos);
    }
    SUBCASE("a peak") {
        text.plan += house + "peak_dBC = 120\n";
        const std::string page = sheet_of("plan.toml", StudyFolder(text).root()).output;
        check_page(page);
        CHECK(page.find("peak 124.0 dB(C), limit 120.0 dB(C) of house") != std::string::npos);
        CHECK(page.find("over by the peak of house") != std::string::npos);
    }
}

TEST_CASE("the spare is nothing that the plan itself has over a limit, and a rest says its work") {
    StudyText text;
    text.plan = with(text.plan, "rest = \"2 min\"\n",
                     "rest = \"2 min\"\nreinsert = true\n[[timeline]]\nsequence = \"epi\"\n"
                     "duration = \"1 min\"\n") +
                "worn = 0.5\n";
    text.protectors +=
        "[[protector]]\nid = \"soft\"\ntype = \"foam-plug\"\nmetal_free = true\nNRR = 30\n";
    const std::string page = sheet_of("plan.toml", StudyFolder(text).root()).output;
    check_page(page);
    const std::string row = between(page, "<bdi>participant</bdi></th>", "</tr>");
    CHECK(row.find("<strong><bdi>soft</bdi></strong>") != std::string::npos);
    CHECK(row.find("over a limit: do not run as planned") != std::string::npos);
    CHECK(row.find("nothing else can be handed out: call") != std::string::npos);
    CHECK(between(page, "id=\"runs\"", "</section>")
              .find("take protectors out, put them in again, check both ears") !=
          std::string::npos);
}

TEST_CASE("ratings have no page") {
    const Outcome outcome =
        run_program({"ratings", "sequences/saltmarsh/protectors.toml", "--format", "html"},
                    EARBUDGET_SOURCE_DIR);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
}
