// Ids are any text that can be seen: they come back as they were written, in columns that align.
#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/refusal.hpp"

using namespace earbudget::test;

namespace {

StudyText study_with_names() {
    StudyText text;
    text.card = with(text.card, "\"epi\"", "\"a/b 2 mm\"");
    text.protectors = with(text.protectors, "\"foam\"", "\"Stöpsel, weich\"");
    text.plan = with(text.plan, "\"epi\"", "\"a/b 2 mm\"");
    text.plan = with(text.plan, "\"foam\"", "\"Stöpsel, weich\"");
    text.plan = with(text.plan, "id = \"participant\"", "id = \"Jörg <b>\"");
    text.plan =
        with(text.plan, "[\"niosh-rel\", \"iec-60601-2-33\"]", "[\"niosh-rel\", \"Wärme, 日本\"]");
    text.plan +=
        "[[criterion]]\nid = \"Wärme, 日本\"\nlevel_dB = 85\n"
        "[[person]]\nid = \"Adult, plugs\"\nrole = \"participant\"\nwears = [\"muff\"]\n";
    return text;
}

/// Columns that a line takes on a terminal up to a place: two for a character of three bytes here.
std::size_t columns(const std::string& line, std::size_t end) {
    std::size_t width = 0;
    for (std::size_t n = 0; n < end; ++n) {
        const auto byte = static_cast<unsigned char>(line[n]);
        if ((byte & 0xC0U) != 0x80U) width += byte >= 0xE0 ? 2 : 1;
    }
    return width;
}

}  // namespace

TEST_CASE("ids with blanks, commas, slashes and letters of any language go through every report") {
    const StudyFolder study(study_with_names());
    const Outcome outcome = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    const auto report = nlohmann::json::parse(outcome.output);
    CHECK(report["people"][0]["id"] == "Jörg <b>");
    CHECK(report["people"][0]["wears"][0] == "Stöpsel, weich");
    CHECK(report["people"][0]["segments"][0]["sequence"] == "a/b 2 mm");
    CHECK(report["people"][0]["criteria"][1]["id"] == "Wärme, 日本");
    CHECK(report["people"][1]["id"] == "Adult, plugs");
    for (const std::string command : {"assess", "choose"}) {
        const std::string page =
            run_program({command, "plan.toml", "--format", "html"}, study.root()).output;
        CHECK(page.find("Jörg &lt;b&gt;") != std::string::npos);
        CHECK(page.find("Jörg <b>") == std::string::npos);
        // Each name of an element once, of letters that an address may hold.
        std::set<std::string> names;
        for (std::size_t at = page.find(" id=\""); at != std::string::npos;
             at = page.find(" id=\"", at + 1)) {
            const std::string name = page.substr(at + 5, page.find('"', at + 5) - at - 5);
            CHECK(names.insert(name).second);
            CHECK(name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == name.npos);
        }
        CHECK(names.size() > 3);
    }
}

TEST_CASE("columns align beside ids of other scripts") {
    const StudyFolder study(study_with_names());
    const std::string text = run_program({"assess", "plan.toml"}, study.root()).output;
    std::set<std::size_t> begins;
    for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1) {
        const std::string line = text.substr(at, text.find('\n', at) - at);
        const bool is_row = line.starts_with("  niosh-rel ") || line.starts_with("  Wärme");
        const std::size_t unit = line.find(" dose ");
        if (is_row && unit != line.npos) begins.insert(columns(line, unit));
    }
    CHECK(begins.size() == 1);
}

TEST_CASE("ids that hold what cannot be seen are refused") {
    const std::vector<Mistake> mistakes = {
        {"", "Jörg ", "plan.toml:19:6", "blank at an end"},
        {"", "\u00a0Jörg", "plan.toml:19:6", "blank at an end"},
        {"", "", "plan.toml:19:6", "empty"},
        {"", "a\u202eb", "plan.toml:19:6", "U+202E"},
        {"", "a\u200bb", "plan.toml:19:6", "U+200B"},
        {"", "a\u200cb", "plan.toml:19:6", "U+200C"},  // joins nothing there
        {"", "ab\ufe00", "plan.toml:19:6", "U+FE00"},  // chooses no form of it
        {"", "a\u2066b", "plan.toml:19:6", "U+2066"},
        {"", "a\ufeffb", "plan.toml:19:6", "U+FEFF"},
        {"", "a\\u0085b", "plan.toml:19:6", "U+0085"},
        {"", "a\\tb", "plan.toml:19:6", "control character"},
        {"", std::string(101, 'x'), "plan.toml:19:6", "101 characters long"},
    };
    std::set<std::string> messages;
    for (const Mistake& mistake : mistakes) {
        StudyText text;
        text.plan = with(text.plan, "id = \"participant\"", "id = \"" + mistake.fresh + "\"");
        const StudyFolder study(text);
        check_refused(run_program({"assess", "plan.toml"}, study.root()), mistake, messages);
    }
    CHECK(messages.size() == mistakes.size());
    StudyText longest;
    std::string name;
    for (int n = 0; n < 100; ++n)
        name += "ö";
    // What a script needs is printed as it is typed.
    const std::string joined = "\u0645\u06cc\u200c\u0634\u0648\u062f";
    for (const std::string& id : {name, joined}) {
        StudyText study = longest;
        study.plan = with(study.plan, "id = \"participant\"", "id = \"" + id + "\"");
        const Outcome outcome = run_program({"assess", "plan.toml"}, StudyFolder(study).root());
        CHECK(outcome.status == 0);
        CHECK(outcome.output.find(id) != std::string::npos);
    }
}
