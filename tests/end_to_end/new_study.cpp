// A study to begin with: it answers at once, says that it is an example until it is none, and is
// written whole or not at all.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "support/program.hpp"
#include "support/study_folder.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget::test;
namespace fs = std::filesystem;

namespace {

constexpr std::string_view first_words = "These are examples, not your figures";

/// Every name within a folder.
std::vector<std::string> names_within(const std::string& folder) {
    std::vector<std::string> names;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        names.push_back(fs::relative(entry.path(), folder).string());
    std::ranges::sort(names);
    return names;
}

std::string without_mark(const std::string& text) {
    const std::size_t begin = text.find("examples = true");
    REQUIRE(begin != std::string::npos);
    return std::string(text).erase(begin, text.find('\n', begin) + 1 - begin);
}

void end_example(const TemporaryFolder& folder, const std::string& name) {
    static_cast<void>(folder.write(name, without_mark(content_of(folder.path(name)))));
}

}  // namespace

TEST_CASE("a new study answers at once, and the first line of every answer says what it is") {
    const TemporaryFolder folder;
    const Outcome made = run_program({"new", "study"}, folder.path(""));
    CHECK(made.status == 0);
    CHECK(made.errors.empty());
    CHECK(names_within(folder.path("study")) ==
          std::vector<std::string>{"cards", "cards/diffusion.toml", "cards/epi.toml",
                                   "cards/localiser.toml", "cards/t1-3d.toml", "plan.toml",
                                   "protectors.toml", "site.toml"});
    const std::string cards[] = {"diffusion", "epi", "localiser", "t1-3d"};
    for (const std::string& card : cards)
        CHECK(content_of(folder.path("study/cards/" + card + ".toml")).find("how = \"guessed\"") !=
              std::string::npos);
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"assess", "study/plan.toml"},
          {"choose", "study/plan.toml"},
          {"review", "study/cards/epi.toml"},
          {"ratings", "study/protectors.toml"}}) {
        CAPTURE(words.front());
        const Outcome text = run_program(words, folder.path(""));
        CHECK((text.status == 0 || words.front() == "review"));
        CHECK(text.errors.empty());
        CHECK(text.output.starts_with(first_words));
        auto as_json = words;
        as_json.insert(as_json.end(), {"--format", "json"});
        const auto report = nlohmann::json::parse(run_program(as_json, folder.path("")).output);
        CHECK(!report["examples"].empty());
        if (words.front() == "ratings") continue;
        auto as_page = words;
        as_page.insert(as_page.end(), {"--format", "html"});
        const std::string page = run_program(as_page, folder.path("")).output;
        const std::size_t main = page.find("<main");
        CHECK(page.find(first_words, main) < page.find("<section", main));
    }
    const std::string sheet =
        run_program({"assess", "study/plan.toml", "--format", "html", "--sheet"}, folder.path(""))
            .output;
    CHECK(sheet.find(first_words) != std::string::npos);
}

TEST_CASE("an answer says that it rests on examples until the last line that says so is deleted") {
    const TemporaryFolder folder;
    REQUIRE(run_program({"new", "study"}, folder.path("")).status == 0);
    const auto examples = [&](const std::string& command) {
        const auto report = nlohmann::json::parse(
            run_program({command, "study/plan.toml", "--format", "json"}, folder.path("")).output);
        return report["examples"].get<std::vector<std::string>>();
    };
    CHECK(examples("assess").size() == 7);
    CHECK(examples("choose").size() == 7);
    for (const std::string name :
         {"plan", "protectors", "site", "cards/epi", "cards/localiser", "cards/t1-3d"})
        end_example(folder, "study/" + name + ".toml");
    CHECK(examples("assess") == std::vector<std::string>{"study/cards/diffusion.toml"});
    end_example(folder, "study/cards/diffusion.toml");
    CHECK(examples("assess").empty());
    const Outcome text = run_program({"assess", "study/plan.toml"}, folder.path(""));
    CHECK(text.output.find(first_words) == std::string::npos);
}

TEST_CASE("a card that no run of the plan uses does not make its answer an example") {
    const StudyFolder study;
    static_cast<void>(study.folder().write(
        "cards/unused.toml", with(with(StudyText().card, "\"epi\"", "\"unused\""), "format = 1\n",
                                  "format = 1\nexamples = true\n")));
    const auto examples = [&] {
        return nlohmann::json::parse(
            run_program({"assess", "plan.toml", "--format", "json"}, study.root())
                .output)["examples"];
    };
    CHECK(examples().empty());
    static_cast<void>(study.folder().write(
        "cards/epi.toml", with(StudyText().card, "format = 1\n", "format = 1\nexamples = true\n")));
    CHECK(examples() == nlohmann::json{"cards/epi.toml"});
}

TEST_CASE("a new study is written over nothing, and nothing is left of one that cannot be") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("there/site.toml", "mine"));
    static_cast<void>(folder.write("file", "mine"));
    const auto refused = [&](const std::string& name, std::string_view place) {
        CAPTURE(name);
        const auto before = names_within(folder.path(""));
        const Outcome outcome = run_program({"new", name}, folder.path(""));
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(outcome.errors.starts_with(place));
        CHECK(outcome.errors.find("accepted: ") != std::string::npos);
        CHECK(names_within(folder.path("")) == before);
    };
    refused("there", "there/site.toml:1:1: this exists");
    CHECK(content_of(folder.path("there/site.toml")) == "mine");
    refused("file", "file:1:1: this exists and is no folder");
    refused("absent/study", "absent/study:1:1: cannot write here: there is no folder");
    REQUIRE(run_program({"new", "study"}, folder.path("")).status == 0);
    refused("study", "study/cards:1:1: this exists");
    // A folder of other things is added to.
    static_cast<void>(folder.write("mine/notes.txt", "mine"));
    CHECK(run_program({"new", "mine"}, folder.path("")).status == 0);
    CHECK(content_of(folder.path("mine/notes.txt")) == "mine");
}

TEST_CASE("tables fill a new study, and what they do not say are examples that are marked") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("seq.csv",
                                   "Name;Time (min);Runs;Pause [s];LAeq [dB(A)];LCeq\r\n"
                                   "Localiser;0,5;;30;94,5;95,8\r\n"
                                   "Echo planar;8:30;2;;105,2;106\r\n"
                                   "Localiser;0,5;;;;\r\n"));
    static_cast<void>(folder.write("plugs.csv",
                                   "Protector,Type,SNR,H,M,L\nSoft plug,foam,30,31,27,24\n"
                                   "Shells,ear muff,25,27,23,17\n"));
    static_cast<void>(folder.write(
        "people.tsv", "id\trole\twears\nP1\tparticipant\tsoft plug + Shells\nOp\tnurse\tnone\n"));
    const Outcome made = run_program(
        {"new", "study", "--table", "seq.csv", "--table", "plugs.csv", "--table", "people.tsv"},
        folder.path(""));
    CHECK(made.status == 0);
    CHECK(made.output.find("seq.csv:2:1: the id \"localiser\" is made of the title") !=
          std::string::npos);
    const std::string card = content_of(folder.path("study/cards/echo-planar.toml"));
    CHECK(card.find("how = \"entered\"\ntable = \"seq.csv, row 3\"") != std::string::npos);
    CHECK(card.find("examples = true") == std::string::npos);
    const auto report = nlohmann::json::parse(
        run_program({"assess", "study/plan.toml", "--format", "json"}, folder.path("")).output);
    // Only the places of the nurse are invented.
    CHECK(report["examples"] == nlohmann::json{"study/plan.toml", "study/site.toml"});
    const auto& segments = report["people"][0]["segments"];
    REQUIRE(segments.size() == 4);
    CHECK(segments[0]["sequence"] == "localiser");
    CHECK(segments[1]["seconds"] == 30.0);
    CHECK(segments[2]["seconds"] == 1020.0);
    CHECK(segments[3]["sequence"] == "localiser");
    CHECK(report["people"][0]["wears"] == nlohmann::json{"soft-plug", "shells"});
    CHECK(report["people"][1]["role"] == "staff");
    for (const std::string command : {"choose", "ratings", "review"}) {
        CAPTURE(command);
        const std::string file = command == "choose"    ? "study/plan.toml"
                                 : command == "ratings" ? "study/protectors.toml"
                                                        : "study/cards/localiser.toml";
        CHECK(run_program({command, file}, folder.path("")).status < 2);
    }
    // A table of sequences alone, without levels: those are examples on their cards.
    static_cast<void>(folder.write("names.csv", "title,duration\nAnatomy,5 min\n"));
    REQUIRE(run_program({"new", "names", "--table", "names.csv"}, folder.path("")).status == 0);
    const std::string guessed = content_of(folder.path("names/cards/anatomy.toml"));
    CHECK(guessed.find("examples = true") != std::string::npos);
    CHECK(guessed.find("how = \"guessed\"") != std::string::npos);
    CHECK(run_program({"assess", "names/plan.toml"}, folder.path(""))
              .output.starts_with(first_words));
}

TEST_CASE("all mistakes of all tables are listed, and nothing is written") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write("seq.csv", "id,duration,LAeq\na,10:00,95\nb,8 min,950\n"));
    static_cast<void>(folder.write("people.csv", "id,role,wears\nP1,pilot,\n"));
    const Outcome outcome = run_program(
        {"new", "study", "--table", "seq.csv", "--table", "people.csv", "--table", "absent.csv"},
        folder.path(""));
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    for (const std::string place :
         {"seq.csv:2:2: ", "seq.csv:3:3: ", "people.csv:2:2: ", "absent.csv:1:1: "})
        CHECK(outcome.errors.find(place) != std::string::npos);
    CHECK(!fs::exists(folder.path("study")));
    // What is worn must be there, once the tables are read.
    static_cast<void>(folder.write("people.csv", "id,role,wears\nP1,participant,foam\n"));
    const Outcome unknown = run_program({"new", "study", "--table", "people.csv"}, folder.path(""));
    CHECK(unknown.errors.starts_with("people.csv:2:3: unknown protector \"foam\""));
    CHECK(!fs::exists(folder.path("study")));
    // One id with two levels, and one with two titles.
    static_cast<void>(
        folder.write("seq.csv", "id,title,LAeq\na,A,95\na,A,96\na,B,95\nb,B,\nb,B,90\n"));
    const Outcome twice = run_program({"new", "study", "--table", "seq.csv"}, folder.path(""));
    CHECK(twice.errors.find("seq.csv:3:1: \"a\" stands twice, with other levels") == 0);
    CHECK(twice.errors.find("seq.csv:4:1: the id \"a\" stands twice, also for \"A\"") !=
          std::string::npos);
}

TEST_CASE("cells that are meant to do harm stay texts") {
    const TemporaryFolder folder;
    static_cast<void>(folder.write(
        "seq.csv",
        "title,duration,LAeq\n\"=1+2\"\"\\ # [x]\",1 min,90\n../../up,1 min,90\n.hidden,1 min,90\n"
        "CON: <script>,1 min,90\n"));
    REQUIRE(run_program({"new", "study", "--table", "seq.csv"}, folder.path("")).status == 0);
    CHECK(names_within(folder.path("")).size() == 10);
    const Outcome outcome =
        run_program({"assess", "study/plan.toml", "--format", "json"}, folder.path(""));
    CHECK(outcome.status < 2);
    CHECK(nlohmann::json::parse(outcome.output)["people"][0]["segments"].size() == 4);
    CHECK(content_of(folder.path("study/cards/up.toml")).find("title = \"../../up\"") !=
          std::string::npos);
}

TEST_CASE("nothing is left of a study that the disk cannot hold") {
    const TemporaryFolder folder;
    const Outcome outcome = run_other(
        "sh", {"-c", "ulimit -f 0; exec " EARBUDGET_PROGRAM " new study"}, folder.path(""));
    CHECK(outcome.status == 3);
    CHECK(names_within(folder.path("")).empty());
}
