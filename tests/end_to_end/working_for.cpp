// --working-for narrows the working to people, criteria and sequences.
#include <string>
#include <vector>

#include "support/temporary_folder.hpp"
#include "worked.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

const std::string plan = demo + "/plan.toml";
const std::string cards = demo + "/cards/";

json narrowed(std::vector<std::string> words, const std::vector<std::string>& ids) {
    for (const std::string& id : ids)
        words.insert(words.end(), {"--working-for", id});
    words.insert(words.end(), {"--format", "json", "--date", "2026-02-28"});
    const Outcome outcome = run_program(words, "/");
    CAPTURE(outcome.errors);
    REQUIRE(outcome.status <= 1);
    return json::parse(outcome.output);
}

bool holds(const json& working, const json& step) {
    return std::ranges::find(working, step) != working.end();
}

/// Some of the whole, in its order.
void check_is_part(const json& part, const json& whole) {
    std::size_t from = 0;
    for (const json& step : part) {
        while (from < whole.size() && whole[from] != step)
            ++from;
        CHECK(from < whole.size());
    }
}

}  // namespace

TEST_CASE("--working-for a person is all of that working and of nobody else, with no --working") {
    const json whole = worked({"assess", plan});
    const json result = narrowed({"assess", plan}, {"operator"});
    for (std::size_t n = 0; n < whole["people"].size(); ++n) {
        const json& person = result["people"][n];
        if (person["id"] == "operator") {
            CHECK(person["working"] == whole["people"][n]["working"]);
        } else {
            CHECK(person["working"].empty());
        }
    }
}

TEST_CASE(
    "--working-for a criterion or a sequence is what is about it, of everyone or who is named") {
    const json whole = worked({"assess", plan});
    for (const std::string id : {"niosh-rel", "epi-2mm"}) {
        CAPTURE(id);
        const json result = narrowed({"assess", plan}, {id});
        for (std::size_t n = 0; n < whole["people"].size(); ++n) {
            const json& part = result["people"][n]["working"];
            const json& all = whole["people"][n]["working"];
            check_is_part(part, all);
            CHECK(part.size() < all.size() / 2);
            for (const json& step : all) {
                const std::string what = step["what"];
                if (what.find(id) != std::string::npos && id == "niosh-rel")
                    CHECK(holds(part, step));
                if (what.find("gre-3d") != std::string::npos && id == "epi-2mm")
                    CHECK(!holds(part, step));
            }
        }
        CHECK(result["people"][0]["working"].size() > 5);
        const json one = narrowed({"assess", plan}, {id, "pilot-b"});
        CHECK(one["people"][0]["working"].empty());
        CHECK(one["people"][1]["working"] == result["people"][1]["working"]);
    }
    const json both = narrowed({"assess", plan}, {"niosh-rel", "epi-2mm"});
    CHECK(both["people"][0]["working"].size() >
          narrowed({"assess", plan}, {"niosh-rel"})["people"][0]["working"].size());
}

TEST_CASE("--working-for an id of a person and a sequence is both") {
    std::string text = content_of(plan);
    for (const char* key : {"sequences = \"", "protectors = \"", "site = \""})
        text.insert(text.find(key) + std::string(key).size(), demo + "/");
    text.replace(text.find("\"pilot-b\""), 9, "\"epi-2mm\"");
    const TemporaryFolder folder;
    const std::string path = folder.write("plan.toml", text);
    const json whole = worked({"assess", path});
    const json result = narrowed({"assess", path}, {"epi-2mm"});
    CHECK(result["people"][1]["working"] == whole["people"][1]["working"]);
    CHECK(result["people"][0]["working"].size() > 5);
    CHECK(result["people"][0]["working"].size() < whole["people"][0]["working"].size() / 2);
}

TEST_CASE("--working-for narrows choose and review, in text too") {
    const json choice = narrowed({"choose", plan}, {"pilot-a", "niosh-rel"});
    CHECK(!choice["people"][0]["ranking"][0]["working"].empty());
    for (const json& step : choice["people"][0]["ranking"][0]["working"])
        CHECK(step["what"].get<std::string>().find("niosh-rel") != std::string::npos);
    CHECK(choice["people"][1]["ranking"][0]["working"].empty());
    const json review = narrowed({"review", cards + "epi-2mm.toml", cards + "gre-3d.toml"},
                                 {"gre-3d", "niosh-rel"});
    CHECK(review["sequences"][0]["working"].empty());
    CHECK(!review["sequences"][1]["working"].empty());
    for (const json& step : review["sequences"][1]["working"])
        CHECK(step["what"].get<std::string>().find("niosh-rel") != std::string::npos);
    const std::string text = run_program({"assess", plan, "--working-for", "pilot-a"}, "/").output;
    CHECK(text.find("  Working of ") != std::string::npos);
    CHECK(text.find("  Working of ") == text.rfind("  Working of "));
}

TEST_CASE("--working-for an unknown id is refused with the nearest known one") {
    for (const auto& [words, wrong, nearest] :
         std::vector<std::tuple<std::vector<std::string>, std::string, std::string>>{
             {{"assess", plan}, "pilot-c", "pilot-a"},
             {{"assess", plan}, "niosh-re", "niosh-rel"},
             {{"choose", plan}, "epi-2m", "epi-2mm"},
             {{"review", cards + "epi-2mm.toml"}, "niosh-rell", "niosh-rel"}}) {
        auto command = words;
        command.insert(command.end(), {"--working-for", wrong});
        const Outcome outcome = run_program(command, "/");
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(outcome.errors.find("--working-for \"" + wrong + "\"") != std::string::npos);
        CHECK(outcome.errors.find("the nearest known is \"" + nearest + "\"") != std::string::npos);
        CHECK(outcome.errors.find("accepted: ") != std::string::npos);
    }
    CHECK(run_program({"assess", plan, "--sheet", "--format", "html", "--working-for", "pilot-a"},
                      "/")
              .status == 2);
}
