// What a command prints without being asked for more: the same figures as its JSON, on one screen.
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

const std::string saltmarsh = "sequences/saltmarsh/";

struct AskedInShort {
    explicit AskedInShort(const std::vector<std::string>& words,
                          const std::string& folder = EARBUDGET_SOURCE_DIR)
        : text(run_short(words, folder).output) {
        std::vector<std::string> as_json = words;
        as_json.insert(as_json.end(), {"--format", "json"});
        json = nlohmann::json::parse(run_short(as_json, folder).output);
    }

    [[nodiscard]] bool says(const std::string& words) const {
        return text.find(words) != std::string::npos;
    }

    std::string text;
    nlohmann::json json;
};

std::string margin_in_words(double margin) {
    return fmt::format("{:.1f} dB {}", std::abs(margin), margin < 0.0 ? "over" : "left");
}

/// Lines before the first that is empty.
std::vector<std::string> first_part_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line) && !line.empty();)
        lines.push_back(line);
    return lines;
}

}  // namespace

TEST_CASE("assess: the demo on one screen, with the figures of the JSON") {
    const AskedInShort asked({"assess", saltmarsh + "plan.toml"});
    CAPTURE(asked.text);
    CHECK(asked.text.starts_with("OVER A LIMIT: pilot-b, participant"));
    CHECK(first_part_of(asked.text).size() <= 24);
    CHECK(lines_of(asked.text) <= 34);
    for (const auto& person : asked.json["people"]) {
        CHECK(asked.says(": " + person["id"].get<std::string>() + ", "));
        double least = 1e9;
        for (const auto& result : person["criteria"])
            if (result["verdict"] == person["verdict"] && result["margin_dB"].is_number())
                least = std::min(least, result["margin_dB"].get<double>());
        CHECK(asked.says("Tightest: " + margin_in_words(least)));
    }
    CHECK(asked.says("Hand out instead: Slim earmuff"));
    CHECK(asked.says("epi-2mm 2 (24 min), epi-fast 3 (18 min)"));
    CHECK(asked.says("--detail"));
}

TEST_CASE("the answer in short is that of a page's beginning, and --detail changes no figure") {
    const std::vector<std::string> words = {
        "assess", saltmarsh + "plan.toml", "--format", "json", "--date", "2026-02-28"};
    CHECK(run_short(words, EARBUDGET_SOURCE_DIR).output ==
          run_program(words, EARBUDGET_SOURCE_DIR).output);
    const std::string page =
        run_short({"assess", saltmarsh + "plan.toml", "--format", "html"}, EARBUDGET_SOURCE_DIR)
            .output;
    CHECK(page.find("Hand out instead: Slim earmuff") < page.find("<details class=\"more\">"));
    CHECK(page.find("<details class=\"more\" open>") == std::string::npos);
    CHECK(run_program({"assess", saltmarsh + "plan.toml", "--format", "html"}, EARBUDGET_SOURCE_DIR)
              .output.find("<details class=\"more\">") == std::string::npos);
}

TEST_CASE("choose: one line a person, then the best few with the margins of the JSON") {
    const AskedInShort asked({"choose", saltmarsh + "plan.toml"});
    CAPTURE(asked.text);
    CHECK(lines_of(asked.text) <= 36);
    for (const auto& person : asked.json["people"]) {
        if (person["id"] == "operator") continue;
        for (std::size_t n = 0; n < 3; ++n)
            CHECK(asked.says(margin_in_words(person["ranking"][n]["worst_margin_dB"])));
    }
    CHECK(asked.says("operator: none needed"));
    CHECK(asked.says("pilot-a (2 more: --detail)"));
}

TEST_CASE("review: one screen a card") {
    const AskedInShort asked({"review", saltmarsh + "cards/epi-2mm.toml", "--protectors",
                              saltmarsh + "protectors.toml"});
    CAPTURE(asked.text);
    CHECK(lines_of(asked.text) <= 26);
    CHECK(first_part_of(asked.text).size() <= 20);
    const auto& levels = asked.json["sequences"][0]["levels"];
    CHECK(asked.says(fmt::format("LAeq {:.1f} dB(A)", levels["LAeq_dB"].get<double>())));
    CHECK(asked.says("Nothing worn, 114.8 dB(A) at the ear"));
    CHECK(asked.says("Checks: "));
}

TEST_CASE("LAeq alone, a label, nobody but staff: the first screen is clear too") {
    StudyText text;
    for (const char* line : {"LCeq = 109.5\n", "LCpeak = 124.0\n"})
        text.card.erase(text.card.find(line), std::string(line).size());
    const StudyFolder study(text);
    const AskedInShort asked({"assess", "plan.toml"}, study.root());
    CAPTURE(asked.text);
    CHECK(first_part_of(asked.text).size() <= 6);
    CHECK(asked.says("Hand out"));
    CHECK(asked.says("warning"));
    StudyText staff;
    staff.plan.replace(staff.plan.find("role = \"participant\""), 20, "role = \"staff\"");
    staff.plan +=
        "[[person.task]]\nduring = \"timeline\"\nposition = \"door\"\n";
    staff.plan += "[[position]]\nid = \"door\"\ndifference_dB = -20.0\n";
    const StudyFolder of_staff(staff);
    const AskedInShort asked_of_staff({"assess", "plan.toml"}, of_staff.root());
    CAPTURE(asked_of_staff.text);
    CHECK(first_part_of(asked_of_staff.text).size() <= 6);
    CHECK(asked_of_staff.says("participant, staff, wears "));
}
