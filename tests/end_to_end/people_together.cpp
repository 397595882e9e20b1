// People alike are spoken of together: a plan of 27 people, 24 of them alike, reads like one of
// four, and every warning is there once with whom it concerns.
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "page.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string saltmarsh_study = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/";

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
        ++found;
    return found;
}

/// The demo with so many alike in the place of its first participant: fit-tested, with a fit test
/// that states no uncertainty, so that each has a warning.
std::string plan_with(int alike) {
    std::string plan = content_of(saltmarsh_study + "plan.toml");
    for (const char* key : {"sequences = \"", "protectors = \"", "site = \""})
        plan.insert(plan.find(key) + std::string(key).size(), saltmarsh_study);
    const std::size_t first = plan.find("[[person]]");
    const std::size_t second = plan.find("[[person]]", first + 1);
    std::string people;
    for (int n = 1; n <= alike; ++n) {
        people += fmt::format(
            "[[person]]\nid = \"p{:02}\"\nrole = \"participant\"\nwears = [\"formable\"]\n"
            "PAR = 21\nsessions_per_day = 9\n",
            n);
    }
    return plan.replace(first, second - first, people);
}

std::string report(const std::string& command, int alike, const std::string& format = "text") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("plan.toml", plan_with(alike)));
    const Outcome outcome = run_program(
        {command, "plan.toml", "--format", format, "--date", "2026-01-31"}, folder.path(""));
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status == (command == "assess" ? 1 : 0));
    return outcome.output;
}

}  // namespace

TEST_CASE("27 people, 24 of them alike, read like four") {
    for (const char* command : {"assess", "choose"}) {
        CAPTURE(command);
        const std::string many = report(command, 24);
        const std::string few = report(command, 1);
        // p02 stands in two warnings besides. Two lines that name the other 23, and no more.
        CHECK(count(many, "\n") <= count(few, "\n") + 3);
        CHECK(count(many, "p01 and 23 alike") >= 2);
        CHECK(many.find("p01 and 23 alike") < many.find("Harbour"));
        for (int n = 2; n <= 24; ++n) {
            CAPTURE(n);
            CHECK(count(many, fmt::format("p{:02}", n)) <= (n == 2 ? 3U : 1U));
            CHECK(many.find(fmt::format("p{:02}", n)) != std::string::npos);
        }
    }
}

TEST_CASE("a warning is said once, with whom it concerns") {
    const std::string many = report("assess", 24);
    const std::string text = many.substr(many.find("\nWarnings\n"));
    CHECK(count(text, "(fit-test-uncertainty)") == 1);
    CHECK(text.find("for p01, p02 and 22 others: the fit test states no PAR_uncertainty") !=
          std::string::npos);
    CHECK(report("assess", 2).find("for p01 and p02: the fit test") != std::string::npos);
}

TEST_CASE("JSON keeps everyone, and each one's warning with its place and its id") {
    const json result = json::parse(report("assess", 24, "json"));
    CHECK(result["people"].size() == 27);
    std::vector<std::string> places;
    for (const json& warning : result["warnings"]) {
        if (warning["code"] != "fit-test-uncertainty") continue;
        REQUIRE(warning["people"].size() == 1);
        const std::string id = warning["people"][0];
        CHECK(warning["text"].get<std::string>().starts_with(id + ": the fit test"));
        places.push_back(warning["where"]);
        CHECK(id == fmt::format("p{:02}", places.size()));
        if (places.size() > 1) CHECK(places[places.size() - 2] != places.back());
    }
    CHECK(places.size() == 24);
    CHECK(json::parse(report("choose", 24, "json"))["people"].size() == 27);
}

TEST_CASE("pages speak of people alike once") {
    for (const char* command : {"assess", "choose"}) {
        CAPTURE(command);
        const std::string page = report(command, 24, "html");
        check_page(page);
        CHECK(count(page, "id=\"person-4\"") == 1);
        CHECK(count(page, "id=\"person-5\"") == 0);
        CHECK(page.find("p01 and 23 alike") < page.find("id=\"person-1\""));
        CHECK(count(page, "p24") == 1);
    }
}
