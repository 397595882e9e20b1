// `assess` of many plans: the same verdicts and margins as of each by itself, folders looked
// through, every mistake told, and what changed since an earlier answer.
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "end_to_end/page.hpp"
#include "support/holds.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;
using nlohmann::json;

namespace {

/// A unit's studies: one within, one over, one with nobody's criteria, among other files.
class Unit {
  public:
    Unit() {
        const StudyText text;
        static_cast<void>(folder_.write("cards/epi.toml", text.card));
        static_cast<void>(folder_.write("protectors.toml", text.protectors));
        add("a/plan.toml", "", "");
        add("b/long.toml", "8 min", "8 h");
        add("b/.hidden/plan.toml", "", "");
        static_cast<void>(folder_.write("b/notes.txt", "kind = \"plan\"\n"));
    }

    void add(const std::string& name, const std::string& old, const std::string& fresh) const {
        std::string plan = StudyText().plan;
        if (!old.empty()) plan = with(plan, old, fresh);
        plan = with(plan, "\"cards\"", "\"../cards\"");
        plan = with(plan, "\"protectors.toml\"", "\"../protectors.toml\"");
        plan = with(plan, "\"Small\"", "\"" + name + "\"");
        static_cast<void>(folder_.write(name, plan));
    }

    [[nodiscard]] Outcome run(std::vector<std::string> words) const {
        words.insert(words.begin(), "assess");
        return run_short(words, folder_.path(""));
    }

    [[nodiscard]] json answer(std::vector<std::string> words) const {
        words.insert(words.end(), {"--format", "json"});
        const Outcome outcome = run(words);
        CAPTURE(outcome.errors);
        REQUIRE(outcome.status < 2);
        return json::parse(outcome.output);
    }

    [[nodiscard]] const TemporaryFolder& folder() const { return folder_; }

  private:
    TemporaryFolder folder_;
};

/// As a list has it, from the answer to the plan alone.
void check_same_as_alone(const json& line, const json& alone) {
    CHECK(line["verdict"] == alone["verdict"]);
    CHECK(line["sha256"] == alone["plan"]["sha256"]);
    CHECK(line["title"] == alone["plan"]["title"]);
    for (const json& person : alone["people"]) {
        if (person["id"] != line["tightest"]["person"]) continue;
        CHECK(person["verdict"] == line["verdict"]);
        bool found = false;
        for (const json& criterion : person["criteria"]) {
            if (criterion["id"] != line["tightest"]["criterion"] ||
                criterion["quantity"] != line["tightest"]["quantity"])
                continue;
            found = true;
            CHECK(criterion["margin_dB"] == line["tightest"]["margin_dB"]);
            CHECK(criterion["probability_over"] == line["tightest"]["probability_over"]);
        }
        CHECK(found);
    }
    // Nobody has a worse one, nor as bad a one with less left.
    for (const json& person : alone["people"]) {
        for (const json& criterion : person["criteria"]) {
            if (!criterion["decides"] || criterion["by_bound"] || criterion["margin_dB"].is_null())
                continue;
            if (criterion["verdict"] == line["verdict"] && person["verdict"] == line["verdict"])
                CHECK(criterion["margin_dB"].get<double>() >=
                      line["tightest"]["margin_dB"].get<double>());
        }
    }
}

}  // namespace

TEST_CASE("many plans have the verdicts and margins that each has by itself") {
    const Unit unit;
    const std::string demo = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml";
    const json many = unit.answer({"a", "b/long.toml", demo});
    REQUIRE(many["plans"].size() == 3);
    CHECK(many["plans"][0]["file"] == "a/plan.toml");
    CHECK(many["plans"][2]["file"] == demo);
    for (const json& line : many["plans"])
        check_same_as_alone(line, unit.answer({line["file"]}));
    CHECK(unit.run({"a", "b/long.toml"}).status == 1);
    CHECK(unit.run({"a"}).status == 0);
}

TEST_CASE("a folder stands for every plan below it, and for nothing else") {
    const Unit unit;
    const json many = unit.answer({".", "a/plan.toml"});
    REQUIRE(many["plans"].size() == 2);  // each once, nothing hidden
    CHECK(many["plans"][0]["file"] == "./a/plan.toml");
    CHECK(many["plans"][1]["file"] == "./b/long.toml");
    CHECK(many["files_left_out"] == 3);  // card, catalogue, notes
    CHECK(holds(unit.run({"cards"}).errors, "cards:1:1: there is no plan in this folder"));
    CHECK(unit.run({"cards"}).status == 2);
    const Outcome text = unit.run({"."});
    CHECK(holds(text.output, "3 files of other kinds left out"));
    CHECK(lines_of(text.output) <= 15);
    CHECK_FALSE(holds(text.output, "SHA-256"));
    CHECK(holds(unit.run({".", "--detail"}).output, "Files read, with their SHA-256"));
}

TEST_CASE("metal at the magnet stands before the list") {
    const Unit unit;
    unit.add("b/metal.toml", "wears = [\"foam\"]", "wears = [\"muff\"]");
    static_cast<void>(
        unit.folder().write("protectors.toml", with(StudyText().protectors, "type = \"earmuff\"",
                                                    "type = \"earmuff\"\nmetal_free = false")));
    const Outcome text = unit.run({"."});
    CHECK(text.output.find("./b/metal.toml: METAL AT THE MAGNET: participant") == 0);
}

TEST_CASE("mistakes of all plans are told, and nothing is answered") {
    const Unit unit;
    unit.add("c/one.toml", "\"epi\"", "\"epo\"");
    unit.add("c/two.toml", "8 min", "8");
    static_cast<void>(unit.folder().write("c/three.toml", "kind = \"plan\n"));
    const Outcome outcome = unit.run({"a", "c", "--output", "all.json"});
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    for (const char* file : {"c/one.toml:", "c/two.toml:", "c/three.toml:"})
        CHECK(holds(outcome.errors, file));
    CHECK_FALSE(std::filesystem::exists(unit.folder().path("all.json")));
}

TEST_CASE("since an earlier answer: new, gone, another verdict, another margin") {
    const Unit unit;
    unit.add("b/other.toml", "\"2 min\"", "\"3 min\"");
    REQUIRE(unit.run({".", "--output", "before.json"}).status == 1);
    CHECK(unit.answer({".", "--since", "before.json"})["plans"][0]["change"]["state"] == "same");
    unit.add("a/plan.toml", "8 min", "30 min");
    unit.add("b/long.toml", "repeat = 2", "repeat = 2");
    unit.add("b/new.toml", "8 min", "9 min");
    CHECK(std::filesystem::remove(unit.folder().path("b/other.toml")));
    const json now = unit.answer({".", "--since", "before.json"});
    REQUIRE(now["plans"].size() == 3);
    CHECK(now["plans"][0]["change"]["state"] == "margin");
    CHECK(now["plans"][1]["change"]["state"] == "verdict");
    CHECK(now["plans"][1]["change"]["verdict_before"] == "over");
    CHECK(now["plans"][2]["change"]["state"] == "new");
    REQUIRE(now["since"]["gone"].size() == 1);
    CHECK(now["since"]["gone"][0]["file"] == "./b/other.toml");
    CHECK(holds(unit.run({".", "--since", "before.json"}).output,
                "1 new, 1 gone, 1 with another verdict, 1 with another margin"));
}

TEST_CASE("what a single plan was answered can be compared with, and nothing else") {
    const Unit unit;
    const std::string demo = EARBUDGET_SOURCE_DIR "/sequences/saltmarsh/plan.toml";
    REQUIRE(unit.run({demo, "--output", "demo.json"}).status == 1);
    const json now = unit.answer({demo, "--since", "demo.json"});
    CHECK(now["plans"][0]["change"]["state"] == "same");
    CHECK(now["plans"][0]["change"]["margin_dB_before"] ==
          now["plans"][0]["tightest"]["margin_dB"]);
    static_cast<void>(unit.folder().write("broken.json", "{\n  \"program\": x\n}\n"));
    CHECK(
        holds(unit.run({"a", "--since", "broken.json"}).errors,
              "broken.json:2:14: this is no JSON; accepted: what earbudget assess --format json"));
    for (const char* other : {"[]", "{}", "{\"program\": \"earbudget\", \"command\": \"review\"}",
                              "{\"program\": \"earbudget\", \"command\": \"assess\", \"plans\": 1}",
                              "{\"program\": \"earbudget\", \"command\": \"assess\", \"plans\": "
                              "[{\"file\": \"a\", \"title\": \"b\", \"verdict\": \"fine\"}]}"}) {
        CAPTURE(other);
        static_cast<void>(unit.folder().write("other.json", other));
        const Outcome outcome = unit.run({"a", "--since", "other.json"});
        CHECK(outcome.status == 2);
        CHECK(holds(outcome.errors, "other.json:1:1: "));
        CHECK(holds(outcome.errors, "accepted: what earbudget assess --format json printed"));
    }
}

TEST_CASE("a list is a table for spreadsheets too, with the figures of its JSON") {
    const Unit unit;
    const json many = unit.answer({"."});
    const Outcome table = unit.run({".", "--format", "csv"});
    CHECK(lines_of(table.output) == 3);
    CHECK(table.output.find("file,title,kind,verdict,person,criterion,") == 0);
    CHECK(holds(table.output,
                "./b/long.toml,b/long.toml,plan,over,participant,niosh-rel,dose,true,"));
    CHECK(holds(table.output, many["plans"][1]["tightest"]["margin_dB"].dump()));
}

TEST_CASE("one page of many plans leads to each of them") {
    const Unit unit;
    const Outcome outcome = unit.run({".", "--format", "html"});
    REQUIRE(outcome.status == 1);
    check_page(outcome.output);
    for (const char* id : {"plan-1", "plan-2"}) {
        CAPTURE(id);
        CHECK(holds(outcome.output, std::string("id=\"") + id + "\""));
        CHECK(count_of(outcome.output, std::string("href=\"#") + id + "\"") >= 2);
    }
}

TEST_CASE("what is of one plan alone is refused for many") {
    const Unit unit;
    for (const std::vector<std::string>& words :
         std::vector<std::vector<std::string>>{{".", "--working"},
                                               {".", "--against", "a/plan.toml"},
                                               {".", "--sheet", "--format", "html"}}) {
        const Outcome outcome = unit.run(words);
        CHECK(outcome.status == 2);
        CHECK(holds(outcome.errors, "is of one plan alone"));
    }
}
