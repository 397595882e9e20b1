// Whoever types too little, or nearly the right words, is told what to type.
#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "end_to_end/help_text.hpp"
#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

std::string message(const std::vector<std::string>& words, const StudyFolder& study) {
    const Outcome outcome = run_short(words, study.root());
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    return outcome.errors;
}

}  // namespace

TEST_CASE("help, of the program and of a command, is status 0 and the same as --help") {
    CHECK(run_program({"help"}).status == 0);
    CHECK(run_program({"help"}).output == run_program({"--help"}).output);
    for (const std::string& command : first_words()) {
        CAPTURE(command);
        const Outcome help = run_program({"help", command});
        CHECK(help.status == 0);
        CHECK(help.errors.empty());
        CHECK(help.output == run_program({command, "--help"}).output);
        CHECK(help.output == run_short({command, "help"}).output);
    }
    for (const std::string asked : {"--help", "-h"}) {
        CHECK(run_program({"help", asked}).output == run_program({"help"}).output);
        CHECK(run_program({"help", "measure", asked}).output ==
              run_program({"help", "measure"}).output);
    }
    const Outcome more = run_program({"help", "measure", "extra"});
    CHECK(more.status == 2);
    CHECK(more.errors ==
          "earbudget help: \"extra\" is a word too many; accepted: earbudget help "
          "COMMAND, with one of measure, assess, ratings, choose, review, cards, "
          "response, predict, new, desk, register, session\n");
    const Outcome wrong = run_program({"help", "asess"});
    CHECK(wrong.status == 2);
    CHECK(holds(wrong.errors, "type: earbudget help assess; accepted: "));
}

TEST_CASE("without a word there is a short usage, and what to type first") {
    const StudyFolder study;
    const Outcome outcome = run_program({}, study.root());
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(outcome.errors.find("earbudget: no command is named; accepted: measure, ") == 0);
    for (const std::string& command : first_words())
        CHECK(holds(outcome.errors, "\n  earbudget " + command + " "));
    CHECK(outcome.errors.ends_with("\nTo begin, type: earbudget assess plan.toml\n"));
    CHECK(run_program({}, study.folder().path("cards"))
              .errors.ends_with("\nTo begin, type: earbudget help\n"));
}

TEST_CASE("near misses are answered with what to type") {
    const StudyFolder study;
    CHECK(holds(message({"asses", "plan.toml"}, study), "; type: earbudget assess plan.toml; "));
    CHECK(holds(message({"plan.toml"}, study), "; type: earbudget assess plan.toml; "));
    CHECK(holds(message({"cards/epi.toml"}, study), "; type: earbudget review cards/epi.toml; "));
    CHECK(
        holds(message({"protectors.toml"}, study), "; type: earbudget ratings protectors.toml; "));
    CHECK(holds(message({"assess", "plan.toml", "--formt", "json"}, study),
                "; type: earbudget assess plan.toml --format json; "));
    CHECK(holds(message({"assess"}, study), "(here earbudget assess plan.toml)"));
    CHECK(holds(message({"choose", "."}, study),
                ".:1:1: cannot read \".\": a folder; accepted: a file in it, "
                "such as ./plan.toml"));
    CHECK(holds(message({"assess", "plan"}, study), "the nearest there is \"plan.toml\""));
    CHECK(
        holds(message({"assess", "cards/epi.toml"}, study),
              "\"kind\" is \"sequence\", a file for earbudget review cards/epi.toml; accepted: "));
    CHECK(holds(message({"review", "plan.toml"}, study),
                "\"kind\" is \"plan\", a file for earbudget assess plan.toml; accepted: "));
    CHECK(holds(message({"ratings", "plan.toml"}, study), "earbudget assess plan.toml"));
    CHECK(holds(message({"measure", "plan.toml", "--full-scale-level", "120"}, study),
                "a TOML file (earbudget assess takes plans"));
    CHECK(holds(message({"assess", EARBUDGET_SOURCE_DIR "/recordings/epi-2mm.flac"}, study),
                "recordings are for earbudget measure"));
}

TEST_CASE("a word with blanks is quoted in what to type") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("my plan.toml", StudyText().plan));
    CHECK(holds(message({"asses", "my plan.toml"}, study),
                "; type: earbudget assess 'my plan.toml'; "));
}

TEST_CASE("a file that another command takes is quoted where it has blanks") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("my prot.toml", StudyText().protectors));
    CHECK(holds(message({"assess", "my prot.toml"}, study),
                "a file for earbudget ratings 'my prot.toml'; accepted: "));
}

TEST_CASE("what a plan misnames is answered with what there is of that kind") {
    const std::string plan = StudyText().plan;
    struct Mistake {
        std::string right, wrong, answer;
    };
    for (const auto& [right, wrong, answer] :
         {Mistake{"\"cards\"", "\"card\"",
                  "\"card\": no such folder, the nearest there is \"cards\"; accepted: "},
          Mistake{"\"cards\"", "\"cords/\"", "no such folder, the nearest there is \"cards\""},
          Mistake{"\"cards\"", "\"plan.toml\"", "\"plan.toml\": this is no folder; accepted: "},
          // A plan is no catalogue, and nearer by name.
          Mistake{"\"protectors.toml\"", "\"other.toml\"", "no such file; accepted: "},
          Mistake{"\"protectors.toml\"", "\"protector.toml\"",
                  "no such file, the nearest there is \"protectors.toml\"; "},
          Mistake{"sequences = \"cards\"", "", "the plan has no key \"sequences\", which names"}}) {
        const StudyFolder study;
        static_cast<void>(study.folder().write("others.toml", with(plan, right, wrong)));
        CHECK_MESSAGE(holds(message({"assess", "others.toml"}, study), answer), wrong);
    }
}

TEST_CASE("numbers of options with a decimal comma or a unit are told so") {
    const StudyFolder study;
    const auto measure = [&](const std::string& option, const std::string& value) {
        return message({"measure", "a.wav", option, value}, study);
    };
    CHECK(
        holds(measure("--calibrator-level", "94,0"),
              "--calibrator-level is \"94,0\", with a decimal comma (with a decimal point: 94.0); "
              "accepted: "));
    CHECK(holds(measure("--full-scale-level", "120,5"), "with a decimal point: 120.5"));
    CHECK(holds(measure("--calibrator-level", "94 dB"), "with more than a number"));
    CHECK(holds(message({"measure", "a.wav", "--full-scale-level", "120", "--from", "8,5"}, study),
                "with a decimal point: 8.5"));
    CHECK(holds(message({"review", "cards/epi.toml", "--derating", "6,0"}, study),
                "a decimal point, 6.0"));
    CHECK(holds(message({"review", "cards/epi.toml", "--at-least", "1,5 h"}, study),
                "with a comma instead of a point"));
}

TEST_CASE("lists on the command line take quotes") {
    const StudyFolder study;
    const Outcome outcome = run_program({"review", "cards/epi.toml", "--criteria",
                                         "\"niosh-rel\", iec-60601-2-33", "--format", "json"},
                                        study.root());
    CAPTURE(outcome.errors);
    CHECK(outcome.status <= 1);
    CHECK(holds(
        message({"review", "cards/epi.toml", "--criteria", "\"a, \"\"b\"\"\",niosh-rel"}, study),
        "--criteria is \"a, \"b\"\""));
    CHECK(holds(message({"review", "cards/epi.toml", "--criteria", "\"niosh-rel"}, study),
                "in which a quote does not end"));
    CHECK(holds(message({"review", "cards/epi.toml", "--criteria", "niosh-rel,"}, study),
                "with an empty entry"));
}

TEST_CASE("the format follows the ending of the file that is written") {
    const StudyFolder study;
    const auto written = [&](const std::string& name) {
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--output", name}, study.root());
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 0);
        CHECK(outcome.errors.empty());
        return content_of(study.folder().path(name));
    };
    CHECK(written("x.html").find("<!DOCTYPE html>") == 0);
    CHECK(written("x.HTM").find("<!DOCTYPE html>") == 0);
    CHECK(written("x.json").find("{") == 0);
    CHECK(written("x.txt").find("Within every limit") == 0);
    CHECK(written("x").find("Within every limit") == 0);
    CHECK(written(".report").find("Within every limit") == 0);
    // What is stated counts.
    const Outcome stated = run_program(
        {"assess", "plan.toml", "--format", "json", "--output", "y.html"}, study.root());
    CHECK(stated.status == 0);
    CHECK(stated.errors ==
          "note: \"y.html\" ends in .html and --format is json: json is written\n");
    CHECK(content_of(study.folder().path("y.html")).find("{") == 0);
    for (const std::string other : {"z.xls", "z.md", "z.json.gz", "z.x\x1b", "z.", "report.2026"}) {
        CHECK(holds(
            message({"assess", "plan.toml", "--output", other}, study),
            "which is not written; accepted: .html for a page, .json, .csv for a table, .txt or no "
            "ending"));
    }
    // What is stated counts for these too.
    CHECK(run_program({"assess", "plan.toml", "--format", "json", "--output", "z.md"}, study.root())
              .errors == "note: \"z.md\" ends in .md and --format is json: json is written\n");
    CHECK(holds(message({"assess", "plan.toml", "--output", "z.pdf"}, study),
                "a browser prints a page as PDF"));
    CHECK(holds(message({"ratings", "protectors.toml", "--output", "z.html"}, study),
                "ends in .html, which is not written; accepted: .json, .csv for a table, .txt or "
                "no ending"));
    CHECK(run_program({"assess", "plan.toml", "--sheet", "--output", "sheet.html"}, study.root())
              .status == 0);
}

TEST_CASE("no report is written where a plan, a card or a catalogue would be looked for") {
    const StudyFolder study;
    const std::string catalogue = content_of(study.folder().path("protectors.toml"));
    for (const std::string name : {"cards/new.toml", "new.TOML", ".toml", "protectors.toml"}) {
        for (const std::string format : {"", "text", "json"}) {
            std::vector<std::string> words = {"assess", "plan.toml", "--output", name, "--force"};
            if (!format.empty()) words.insert(words.end(), {"--format", format});
            CHECK(holds(message(words, study),
                        "ends in .toml, which is for plans, cards and "
                        "catalogues; accepted: .html for a page, .json, "));
        }
    }
    CHECK(content_of(study.folder().path("protectors.toml")) == catalogue);
    CHECK(run_program({"assess", "plan.toml"}, study.root()).status == 0);
    const auto measure = [&](const std::string& option, const std::string& name) {
        return message({"measure", EARBUDGET_SOURCE_DIR "/recordings/localiser.flac",
                        "--full-scale-level", "120", option, name},
                       study);
    };
    for (const std::string name : {"card.txt", "card", "card.TOML", ".card.toml", "card.toml.txt"})
        CHECK(holds(measure("--card", name), "accepted: a file name that ends in .toml and"));
    for (const std::string name : {"history.toml", "history", "history.txt"})
        CHECK(holds(measure("--history", name), "accepted: a file name that ends in .csv"));
}

TEST_CASE("standard output has no name for --output") {
    const StudyFolder study;
    for (const std::string name : {"-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"}) {
        CHECK(
            message({"assess", "plan.toml", "--output", name}, study) ==
            "earbudget assess: --output \"" + name +
                "\" is standard output; accepted: leave out --output, and the report goes there\n");
    }
}

TEST_CASE("what is proposed can be typed, and an option of another command is said to be so") {
    const StudyFolder study;
    CHECK(holds(
        message({"ratings", "protectors.toml", "--seed", "1"}, study),
        "unknown option \"--seed\", which is of assess, choose, review, session next; accepted: "));
    CHECK(holds(message({"choose", "plan.toml", "--sheet"}, study),
                "unknown option \"--sheet\", which is of assess; accepted: "));
    // --seed would have no value, a sheet needs a page, and --forma=jsn is wrong twice.
    for (const std::vector<std::string>& words :
         std::vector<std::vector<std::string>>{{"choose", "plan.toml", "--shed"},
                                               {"assess", "plan.toml", "--shet"},
                                               {"assess", "plan.toml", "--formt=jsn"},
                                               {"asses", "plan.toml", "--seed", "x"},
                                               {"hepl", "asess"}}) {
        CAPTURE(words.back());
        const std::string said = message(words, study);
        CHECK(holds(said, "the nearest known is"));
        CHECK(!holds(said, "type: "));
    }
    CHECK(holds(message({"assess", "plan.toml", "--shet", "--format", "html"}, study),
                "; type: earbudget assess plan.toml --sheet --format html; "));
    // Another plan than the one typed is no example.
    CHECK(!holds(message({"choose", "other.toml", "extra.toml"}, study), "plan.toml)"));
    CHECK(
        message({"measure", "a.wav", "--options-refused"}, study) ==
        "earbudget measure: earbudget-collect --options let nothing of a folder's measure.options "
        "through; accepted: what it says\n");
}

TEST_CASE("files that are not what they seem are called what they are") {
    const StudyFolder study;
    const auto& folder = study.folder();
    std::filesystem::create_symlink("nowhere", folder.path("dangling.toml"));
    std::filesystem::create_symlink("nowhere", folder.path("dangling.wav"));
    CHECK(
        message({"assess", "dangling.toml"}, study)
            .find(
                "dangling.toml:1:1: cannot read \"dangling.toml\": a symbolic link to nothing; ") ==
        0);
    CHECK(holds(message({"measure", "dangling.wav", "--full-scale-level", "120"}, study),
                "a symbolic link to nothing; "));
    std::string bytes;
    for (int byte = 0; byte < 256; ++byte)
        bytes += static_cast<char>(byte);
    static_cast<void>(folder.write("binary.toml", bytes));
    CHECK(
        holds(message({"assess", "binary.toml"}, study), "not TOML: this is no text, but control"));
    std::string returns = StudyText().plan;
    std::ranges::replace(returns, '\n', '\r');
    static_cast<void>(folder.write("returns.toml", returns));
    CHECK(holds(
        message({"assess", "returns.toml"}, study),
        "not TOML: lines that end in a carriage return (CR) alone; accepted: lines that end in "
        "LF, or in CR and LF"));
    CHECK(message({"review", "cards/epi.toml", "./cards/epi.toml"}, study) ==
          "./cards/epi.toml:1:1: this card is given twice, first as \"cards/epi.toml\"; accepted: "
          "each card once\n");
    CHECK(holds(message({"assess", "plan.toml", "--output", "/proc/x.html"}, study),
                "cannot write here: this folder takes no files; accepted: "));
    CHECK(holds(message({"assess", "plan.toml", "--output", "absent/x.html"}, study),
                "cannot write here: there is no folder \"absent\"; accepted: "));
    // A card that leads nowhere, in the folder of a plan.
    std::filesystem::create_symlink("nowhere", folder.path("cards/dangling.toml"));
    CHECK(
        message({"assess", "plan.toml"}, study)
            .find(
                "cards/dangling.toml:1:1: cannot read \"cards/dangling.toml\": a symbolic link to "
                "nothing; ") == 0);
}

TEST_CASE("\"10:00\" is ten minutes, and every report says so") {
    StudyText text;
    text.plan = with(text.plan, "\"8 min\"", "\"10:00\"");
    const StudyFolder study(text);
    const Outcome report = run_program({"assess", "plan.toml", "--format", "json"}, study.root());
    CHECK(report.status <= 1);
    CHECK(holds(report.output, "\"duration-as-minutes\""));
    CHECK(holds(report.output, R"("\"10:00\" is taken as 10 min 0 s; write \"10 min\"")"));
    CHECK(holds(report.output, "\"plan.toml:14:12\""));
    CHECK(holds(report.output, "\"seconds\": 1200"));
    CHECK(holds(run_program({"assess", "plan.toml"}, study.root()).output,
                "\"10:00\" is taken as 10 min 0 s"));
    CHECK(run_program({"choose", "plan.toml"}, study.root()).errors ==
          "plan.toml:14:12: note: \"10:00\" is taken as 10 min 0 s; write \"10 min\"\n");
}
