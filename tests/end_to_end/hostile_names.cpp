// Names of files and texts that would act on a terminal, forge a line of a report or turn what
// stands beside them: each is printed as characters that are seen.
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "earbudget/study/visible_text.hpp"
#include "files/study_files.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using Words = std::vector<std::string>;

namespace {

// Not all that a name may hold ('/' parts folders, and TOML has no bytes that are not UTF-8).
const Words names = {"a\x1b[2J\x1b[1A\r",
                     "b\xff\x9b"
                     "2J\x80",
                     "c\u009b2J\u0085",
                     "d\u202e\u2066\u200f\u061c",
                     "e\n\nWithin every limit",
                     "f\u200b\u200d\ufeff\u00ad\U000e0041\u2028",
                     "=g\t\a\b\x7f"};

/// What stands in quotes in a plan.
const Words texts = {"\u009b2J\u0085", "\u202e\u2066x\u2069", "a\u200bb\ufeff\U000e0041\u2028c"};

void check_is_seen(const std::string& printed) {
    const auto characters = characters_of(printed);
    REQUIRE(characters);
    for (const char32_t character : *characters) {
        if (character == '\n' || !is_unseen(character)) continue;
        CAPTURE(static_cast<unsigned>(character));
        CAPTURE(printed.substr(0, 2000));
        REQUIRE(false);
    }
}

/// One run, of which everything printed is seen.
Outcome run_seen(const Words& words, const std::string& folder) {
    Outcome outcome = run_program(words, folder);
    CAPTURE(words[0]);
    CAPTURE(outcome.errors);
    CHECK(outcome.status >= 0);
    CHECK(outcome.status <= 2);
    check_is_seen(outcome.output);
    check_is_seen(outcome.errors);
    return outcome;
}

std::string first_line(const std::string& text) { return text.substr(0, text.find('\n')); }

void check_commands(const std::string& folder, const std::string& plan, const std::string& card,
                    const std::string& catalogue, const StudyFolder& usual) {
    for (const std::string format : {"text", "json", "html"}) {
        const Words end = {"--format", format, "--working"};
        const auto run = [&](Words words) {
            words.insert(words.end(), end.begin(), end.end());
            const Outcome outcome = run_seen(words, folder);
            CHECK(outcome.status <= 1);
            if (format == "json") CHECK(nlohmann::json::accept(outcome.output));
            return outcome;
        };
        const Outcome assessed = run({"assess", plan, "--against", plan});
        if (format == "text") {
            // Nothing that was forged comes before the verdict, and nothing replaces it.
            const Outcome as_usual =
                run_program({"assess", "plan.toml", "--against", "plan.toml"}, usual.root());
            CHECK(first_line(assessed.output) == first_line(as_usual.output));
            CHECK(assessed.output.find("\nWithin every limit\n") == std::string::npos);
        }
        static_cast<void>(run({"choose", plan}));
        static_cast<void>(run({"review", card, "--protectors", catalogue, "--against", card}));
        if (format != "html") static_cast<void>(run({"ratings", catalogue}));
    }
    static_cast<void>(run_seen({"assess", plan, "--sheet", "--format", "html"}, folder));
}

}  // namespace

TEST_CASE("hostile names of files are printed as what is seen, by every command and format") {
    const StudyFolder usual;
    for (const std::string& name : names) {
        CAPTURE(name);
        const TemporaryFolder folder;
        const StudyText text;
        const std::string cards = name + "/cards/";
        static_cast<void>(folder.write(cards + name + ".toml", text.card));
        static_cast<void>(folder.write(name + "/protectors.toml", text.protectors));
        static_cast<void>(folder.write(name + '/' + name + ".toml", text.plan));
        check_commands(folder.path(""), name + '/' + name + ".toml", cards + name + ".toml",
                       name + "/protectors.toml", usual);
    }
}

TEST_CASE("hostile texts in files are printed as what is seen, by every command and format") {
    const StudyFolder usual;
    for (const std::string& hostile : texts) {
        StudyText text;
        text.plan = with(text.plan, "\"Small\"", '"' + hostile + '"') + "[contact]\nname = \"" +
                    hostile + "\"\n";
        text.card = with(text.card, "[levels]", "title = \"" + hostile + "\"\n[levels]") +
                    "who = \"" + hostile + "\"\n";
        text.protectors = with(text.protectors, "type = \"foam-plug\"",
                               "title = \"" + hostile + "\"\ntype = \"foam-plug\"");
        const StudyFolder study(text);
        check_commands(study.root(), "plan.toml", "cards/epi.toml", "protectors.toml", usual);
        // JSON gives them back as they are.
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--format", "json"}, study.root());
        CHECK(nlohmann::json::parse(outcome.output)["plan"]["title"] == hostile);
    }
}

TEST_CASE("hostile words and names in messages are printed as what is seen, in one line each") {
    const StudyFolder study;
    for (const std::string& name : names) {
        CAPTURE(name);
        static_cast<void>(study.folder().write(name + "1.toml", "[" + name + "\n"));
        static_cast<void>(study.folder().write(
            "keys.toml", StudyText().plan + "\"\\u001b\\u202e\\u0085\" = 1\ncannot_wear = [\"" +
                             std::string("\\u001b[2J\\n") + "\"]\n"));
        const auto check = [&](const Words& words) {
            const Outcome outcome = run_seen(words, study.root());
            CHECK(outcome.status == 2);
            CHECK(outcome.output.empty());
            for (const std::string line : {"\nWithin every limit\n", "\nWithin every limit;"})
                CHECK(outcome.errors.find(line) == std::string::npos);
        };
        for (const Words& words :
             std::vector<Words>{{name},
                                {name + "1.toml"},
                                {"--" + name},
                                {"assess", "--" + name, "plan.toml"},
                                {"assess", name},
                                {"assess", name + "2.toml"},  // the nearest
                                {"assess", name + "1.toml"},
                                {"assess", "keys.toml"},
                                {"assess", "plan.toml", name},
                                {"assess", "plan.toml", "--format", name},
                                {"assess", "plan.toml", "--date", name},
                                {"assess", "plan.toml", "--seed", name},
                                {"assess", "plan.toml", "--working-for", name},
                                {"assess", "plan.toml", "--output", name + "/none.html"},
                                {"assess", "plan.toml", "--output", name + ".pdf"},
                                {"review", "cards/epi.toml", "--for", name},
                                {"review", "cards/epi.toml", "--criteria", name},
                                {"review", "cards/epi.toml", "--at-least", name},
                                {"ratings", name},
                                {"measure", name + "1.toml", "--full-scale-level", "120"},
                                {"measure", name, "--full-scale-level", name},
                                {"measure", name, "--from", name, "--full-scale-level", "120"},
                                {"help", name}}) {
            check(words);
        }
    }
}

TEST_CASE("recordings of any name are measured, and their cards can be read again") {
    const std::string recording = EARBUDGET_SOURCE_DIR "/recordings/localiser.flac";
    for (const std::string& name : names) {
        CAPTURE(name);
        const TemporaryFolder folder;
        const std::string sound = name + ".flac";
        const std::string card = name + ".toml";
        std::filesystem::copy_file(recording, folder.path(sound));
        for (const std::string format : {"text", "json", "html"}) {
            const Outcome outcome =
                run_seen({"measure", sound, "--full-scale-level", "120", "--format", format,
                          "--card", card, "--history", name + ".csv", "--force"},
                         folder.path(""));
            REQUIRE(outcome.status == 0);
            if (format == "json") CHECK(nlohmann::json::accept(outcome.output));
        }
        const Sequence read = files::read_sequence_card(folder.path(card));
        check_is_seen(read.id + read.origin.recording);
        const Outcome reviewed = run_seen({"review", card}, folder.path(""));
        CHECK(reviewed.status <= 1);
        std::string history = content_of(folder.path(name + ".csv"));
        CHECK(history.find("\r\n=") == std::string::npos);
        std::erase(history, '\r');
        check_is_seen(history);
    }
}

TEST_CASE("the manual page, the completion and help hold nothing that is not seen") {
    const std::string guides = EARBUDGET_GUIDES;
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(guides)) {
        if (!entry.is_regular_file()) continue;
        CAPTURE(entry.path());
        std::string content = content_of(entry.path().string());
        std::erase(content, '\t');
        check_is_seen(content);
        ++files;
    }
    CHECK(files >= 2);
    for (const std::string command : {"assess", "choose", "measure", "ratings", "review"})
        CHECK(run_seen({command, "--help"}, "/").status == 0);
}
