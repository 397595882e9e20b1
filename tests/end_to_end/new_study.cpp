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
