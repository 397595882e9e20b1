// Where results go: whole files or none, nothing replaced unasked, faults told apart from input.
#include <cstdlib>
#include <filesystem>
#include <string>

#include <doctest/doctest.h>

#include "support/program.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

TEST_CASE("a report goes into a file, an existing one is replaced only with --force") {
    const StudyFolder study;
    const auto assess = [&study](const std::vector<std::string>& more) {
        std::vector<std::string> words = {"assess", "plan.toml", "--output", "report.txt"};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words, study.root());
    };
    const std::string report = study.folder().path("report.txt");
    CHECK(assess({}).status == 0);
    const std::string first = content_of(report);
    CHECK(first.find("Within every limit") == 0);
    const Outcome second = assess({"--format", "json"});
    CHECK(second.status == 2);
    CHECK(second.errors.find("report.txt:1:1: ") == 0);
    CHECK(second.errors.find("--force") != std::string::npos);
    CHECK(content_of(report) == first);
    CHECK(assess({"--format", "json", "--force"}).status == 0);
    CHECK(content_of(report).front() == '{');
    // Nothing is left beside the report but the study itself.
    int files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(study.root())) {
        files += entry.is_regular_file() ? 1 : 0;
    }
    CHECK(files == 3);
}

TEST_CASE("what was read is never written over, not even with --force") {
    const StudyFolder study;
    const std::string plan = content_of(study.folder().path("plan.toml"));
    for (const std::string input : {"plan.toml", "protectors.toml", "cards/epi.toml"}) {
        CAPTURE(input);
        const std::string name = std::filesystem::path(input).stem().string() + ".txt";
        std::filesystem::create_hard_link(study.folder().path(input), study.folder().path(name));
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--output", name, "--force"}, study.root());
        CHECK(outcome.status == 2);
        CHECK(outcome.errors.find("which was read") != std::string::npos);
    }
    CHECK(content_of(study.folder().path("plan.toml")) == plan);
}

TEST_CASE("a closed pipe is a fault, status 3, with one line") {
    const StudyFolder study;
    const std::string command = "cd " + study.root() + " && { " + EARBUDGET_PROGRAM +
                                " assess plan.toml 2> errors; echo $? > status; } | true";
    // The reader may end before or after the writing; both are right, a signal is not.
    REQUIRE(std::system(command.c_str()) == 0);
    const std::string status = content_of(study.folder().path("status"));
    CHECK((status == "3\n" || status == "0\n"));
    CHECK(lines_of(content_of(study.folder().path("errors"))) == (status == "3\n" ? 1 : 0));
}

TEST_CASE("a place that cannot be written to is refused with one line") {
    const StudyFolder study;
    for (const std::string place : {"absent/report.txt", "cards"}) {
        const Outcome outcome =
            run_program({"assess", "plan.toml", "--output", place}, study.root());
        CHECK(outcome.status == 2);
        CHECK(lines_of(outcome.errors) == 1);
        CHECK(outcome.errors.find(place + ":1:1: ") == 0);
    }
}

TEST_CASE("a full standard output is a fault, status 3, with one line") {
    const StudyFolder study;
    const std::string command = "cd " + study.root() + " && " + EARBUDGET_PROGRAM +
                                " assess plan.toml > /dev/full 2> errors";
    const int status = std::system(command.c_str());
    CHECK(WEXITSTATUS(status) == 3);
    CHECK(lines_of(content_of(study.folder().path("errors"))) == 1);
}

TEST_CASE("the text is plain on anything but a terminal") {
    const StudyFolder study;
    CHECK(run_program({"assess", "plan.toml"}, study.root()).output.find('\x1b') ==
          std::string::npos);
}

TEST_CASE("help and version answer on standard output, a wrong command on standard error") {
    CHECK(run_program({"--version"}).output == "earbudget " EARBUDGET_VERSION "\n");
    for (const std::vector<std::string>& words : {std::vector<std::string>{"--help"},
                                                  {"assess", "--help"},
                                                  {"measure", "--help"},
                                                  {"ratings", "--help"}}) {
        const Outcome outcome = run_program(words);
        CHECK(outcome.status == 0);
        CHECK(outcome.output.find("earbudget") != std::string::npos);
        CHECK(outcome.errors.empty());
    }
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"asess", "plan.toml"}, {"assess"}}) {
        const Outcome outcome = run_program(words);
        CHECK(outcome.status == 2);
        CHECK(outcome.output.empty());
        CHECK(lines_of(outcome.errors) == 1);
    }
    // Without a word: what to type first.
    const Outcome nothing = run_program({});
    CHECK(nothing.status == 2);
    CHECK(nothing.output.empty());
    CHECK(nothing.errors.find("earbudget help") != std::string::npos);
    CHECK(run_program({"asess", "plan.toml"}).errors.find("nearest known is \"assess\"") !=
          std::string::npos);
}
