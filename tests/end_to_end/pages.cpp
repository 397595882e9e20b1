// Every page stands alone, says the verdict first, and its drawings hold the numbers of the JSON.
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/page.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using Json = nlohmann::json;

namespace {

const std::string demo = "sequences/saltmarsh/plan.toml";

std::string page_of(std::vector<std::string> words, int status,
                    const std::string& folder = EARBUDGET_SOURCE_DIR) {
    words.insert(words.end(), {"--format", "html", "--date", "2026-02-28"});
    const Outcome outcome = run_program(words, folder);
    CAPTURE(outcome.errors);
    CHECK(outcome.errors.empty());
    REQUIRE(outcome.status == status);
    return outcome.output;
}

Json json_of(std::vector<std::string> words, int status,
             const std::string& folder = EARBUDGET_SOURCE_DIR) {
    words.insert(words.end(), {"--format", "json"});
    const Outcome outcome = run_program(words, folder);
    REQUIRE(outcome.status == status);
    return Json::parse(outcome.output);
}

/// The section of the n-th person, from 0.
std::string person_part(const std::string& page, std::size_t n) {
    return between(page, "id=\"person-" + std::to_string(n + 1) + "\"", "</section>");
}

/// Of the demo's catalogue, as a reader has it.
std::string titled(const std::string& id) {
    if (id == "formable") return "Formable foam plug (formable)";
    return id == "muff-slim" ? "Slim earmuff (muff-slim)" : "Small flanged plug (flanged-small)";
}

const Attributes& series(const std::vector<Attributes>& elements, const std::string& id) {
    for (const Attributes& element : elements)
        if (element.contains("data-series") && element.at("data-series") == id) return element;
    throw std::out_of_range(id);
}

}  // namespace

TEST_CASE("the page of assess: the verdict first, then everyone") {
    const std::string page = page_of({"assess", demo}, 1);
    check_page(page);
    const std::size_t verdict = page.find("Over a limit");
    CHECK(verdict < page.find("id=\"person-1\""));
    CHECK(page.find("do not replace a competent person") < page.find("id=\"person-1\""));
    CHECK(count_of(page, "class=\"part person\"") == 4);
    CHECK(page.find("@top-left { content: \"Harbour") != std::string::npos);
    // Nothing is called safe.
    CHECK(page.find("safe ") == page.find("safe listening"));
}

TEST_CASE("the course of the allowance is drawn as the JSON has it") {
    const std::string page = page_of({"assess", demo}, 1);
    const Json json = json_of({"assess", demo}, 1);
    int lines = 0;
    int reached = 0;
    for (std::size_t n = 0; n < json["people"].size(); ++n) {
        const std::string part = person_part(page, n);
        const auto drawn = elements_with(part, "data-x");
        const auto marks = elements_with(part, "data-reached");
        for (const Json& criterion : json["people"][n]["course"]["criteria"]) {
            const Attributes& line = series(drawn, criterion["id"]);
            CHECK(numbers_of(line, "data-x") == criterion["seconds"].get<std::vector<double>>());
            CHECK(numbers_of(line, "data-y") == criterion["percent"].get<std::vector<double>>());
            ++lines;
            if (criterion["reached_seconds"].is_null()) continue;
            ++reached;
            CHECK(numbers_of(series(marks, criterion["id"]), "data-reached").front() ==
                  criterion["reached_seconds"].get<double>());
        }
    }
    CHECK(lines == 8);
    CHECK(reached == 1);
}

TEST_CASE("shares and spectra are drawn as the JSON has them") {
    const std::string page = page_of({"assess", demo}, 1);
    const Json json = json_of({"assess", demo}, 1);
    for (std::size_t n = 0; n < json["people"].size(); ++n) {
        const Json& person = json["people"][n];
        const std::string part = person_part(page, n);
        const auto values = elements_with(part, "data-value");
        for (const Json& share : person["drivers"]["sequences"]) {
            const std::string id =
                share["sequence"].is_null() ? "no sequence" : share["sequence"].get<std::string>();
            CHECK(numbers_of(series(values, id), "data-value").front() ==
                  share["share_percent"].get<double>());
        }
        std::vector<double> outside, at_ear, attenuation, drawn;
        for (const Json& band : person["spectrum"]["bands"]) {
            outside.push_back(band["LAeq_dB"]);
            if (band["at_ear_LAeq_dB"].is_null()) continue;
            at_ear.push_back(band["at_ear_LAeq_dB"]);
            attenuation.push_back(band["attenuation_dB"]);
        }
        const auto lines = elements_with(part, "data-x");
        CHECK(numbers_of(series(lines, "outside"), "data-y") == outside);
        CHECK(at_ear.empty() == person["wears"].empty());
        if (at_ear.empty()) continue;
        CHECK(numbers_of(series(lines, "at the ear"), "data-y") == at_ear);
        for (const Attributes& band : elements_with(part, "data-attenuation"))
            drawn.push_back(numbers_of(band, "data-attenuation").front());
        CHECK(drawn == attenuation);
    }
}

TEST_CASE("everyone's margins are drawn as the JSON has them") {
    const std::string page = page_of({"assess", demo}, 1);
    const Json json = json_of({"assess", demo}, 1);
    const auto marks = elements_with(between(page, "id=\"verdict\"", "</section>"), "data-value");
    std::size_t next = 0;
    for (const Json& person : json["people"]) {
        for (const Json& criterion : person["criteria"]) {
            if (!criterion["decides"].get<bool>()) continue;  // an action value, no limit
            REQUIRE(next < marks.size());
            CHECK(marks[next].at("data-person") == person["id"]);
            CHECK(marks[next].at("data-series") == criterion["id"]);
            CHECK(marks[next].at("data-quantity") == criterion["quantity"]);
            CHECK(numbers_of(marks[next], "data-value").front() ==
                  criterion["margin_dB"].get<double>());
            ++next;
        }
    }
    CHECK(next == marks.size());
    CHECK(next == 12);
}

TEST_CASE("the page of choose: what to hand out first, the methods' spread as the JSON has it") {
    const std::string page = page_of({"choose", demo}, 0);
    check_page(page);
    const Json json = json_of({"choose", demo}, 0);
    CHECK(page.find("Slim earmuff") < page.find("id=\"person-1\""));
    int values = 0;
    for (std::size_t n = 0; n < json["people"].size(); ++n) {
        const auto marks = elements_with(person_part(page, n), "data-method");
        std::size_t next = 0;
        for (const Json& choice : json["people"][n]["ranking"]) {
            for (const Json& method : choice["methods"]["each"]) {
                if (method["at_ear_LEX_8h_dB"].is_null()) continue;
                REQUIRE(next < marks.size());
                CHECK(marks[next].at("data-method") == method["method"]);
                CHECK(numbers_of(marks[next++], "data-value").front() ==
                      method["at_ear_LEX_8h_dB"].get<double>());
                ++values;
            }
        }
        CHECK(next == marks.size());
    }
    CHECK(values > 20);
}

TEST_CASE("the page of choose says each choice and each answer once") {
    const std::string page = page_of({"choose", demo}, 0);
    const Json json = json_of({"choose", demo}, 0);
    CHECK(count_of(page, "none needed, every exposure limit is kept with nothing worn") == 1);
    for (std::size_t n = 0; n < json["people"].size(); ++n) {
        const std::string part = person_part(page, n);
        const std::string told = part.substr(0, part.find("<figure>"));
        CAPTURE(told);
        CHECK(count_of(told, "<tr><th scope=\"row\">") ==
              static_cast<int>(json["people"][n]["ranking"].size()));
        for (const Json& choice : json["people"][n]["ranking"]) {
            if (choice["wears"].size() > 1) continue;
            const std::string id = choice["wears"][0];
            CHECK(count_of(told, ". " + titled(id) + "</bdi></th>") == 1);
        }
        CHECK(told.find("class=\"answer") == std::string::npos);
    }
}

TEST_CASE("the page of review, alone, against another card and with several") {
    const std::string cards = "sequences/saltmarsh/cards/";
    const std::string page =
        page_of({"review", cards + "epi-2mm.toml", "--protectors",
                 "sequences/saltmarsh/protectors.toml", "--against", cards + "epi-fast.toml"},
                0);
    check_page(page);
    // One line first, what it names after it.
    CHECK(between(page, "class=\"answers\"", "</ul>")
              .find("may be approved only with ear protection</bdi><ul") != std::string::npos);
    CHECK(page.find("may be approved only with formable", page.find("id=\"card-1\"")) !=
          std::string::npos);
    CHECK(page.find("What changes") != std::string::npos);
    CHECK(page.find("☐ missing") != std::string::npos);
    check_page(page_of({"review", cards + "epi-2mm.toml", cards + "gre-3d.toml"}, 1));
}

TEST_CASE("the page of measure draws the level of each second as the JSON has it") {
    const std::vector<std::string> words = {"measure",
                                            "recordings/epi-2mm.flac",
                                            "--calibration",
                                            "recordings/calibrator.flac",
                                            "--calibrator-level",
                                            "114"};
    const std::string page = page_of(words, 0);
    check_page(page);
    const Json json = json_of(words, 0);
    const Json& history = json["recordings"][0]["channels"][0]["history"]["LAeq_dB"];
    const auto lines = elements_with(page, "data-x");
    REQUIRE(lines.size() == 1);
    CHECK(numbers_of(lines.front(), "data-y") == history.get<std::vector<double>>());
    CHECK(history.size() == 10);
}

TEST_CASE("the working is on the page where it is asked for") {
    const std::string page = page_of({"assess", demo, "--working"}, 1);
    check_page(page);
    CHECK(page.find("Working of <bdi>pilot-a") != std::string::npos);
    CHECK(page_of({"assess", demo}, 1).find("Working of") == std::string::npos);
}
