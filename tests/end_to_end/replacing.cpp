// What --force may replace, and that several outputs of one command are all in place or none.
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

using Words = std::vector<std::string>;
namespace fs = std::filesystem;

/// Every file below a folder, with what it holds and its permissions; links are not followed.
std::map<std::string, std::string> all_in(const std::string& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        std::string& held = files[fs::relative(entry.path(), folder).string()];
        struct stat found = {};
        REQUIRE(::lstat(entry.path().c_str(), &found) == 0);
        held = std::to_string(found.st_mode) + " ";
        if (S_ISLNK(found.st_mode)) {
            held += fs::read_symlink(entry.path()).string();
        } else if (S_ISREG(found.st_mode)) {
            held += content_of(entry.path().string());
        }
    }
    return files;
}

void check_refused(const Outcome& outcome, const std::string& file, const std::string& what) {
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find(file + ":1:1: ") == 0);
    CHECK(outcome.errors.find(what) != std::string::npos);
    CHECK(outcome.errors.find("accepted: ") != std::string::npos);
}

Words measuring(const Words& more) {
    Words words = {"measure",
                   EARBUDGET_SOURCE_DIR "/recordings/localiser.flac",
                   "--full-scale-level",
                   "130",
                   "--date",
                   "2026-01-31"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// The program with one call that fails, see faults/fail_calls.cpp.
[[maybe_unused]] Outcome run_failing(const std::string& which, const Words& words,
                                     const std::string& folder) {
    return run_restricted(
        [&which] {
            ::setenv("LD_PRELOAD", EARBUDGET_FAIL_CALLS, 1);
            ::setenv("EARBUDGET_FAIL", which.c_str(), 1);
        },
        EARBUDGET_PROGRAM, words, folder);
}

}  // namespace

TEST_CASE("what lies in a folder that was looked through for cards is not written over") {
    StudyText text;
    text.plan += "[[position]]\nid = \"desk\"\nsequences = \"desk\"\n";
    const StudyFolder study(text);
    // A plan and a catalogue among the cards, and a card that the position passes over.
    const std::string other_card = with(text.card, "\"epi\"", "\"other\"");
    static_cast<void>(study.folder().write("cards/plan.toml", text.plan));
    static_cast<void>(study.folder().write("cards/catalogue.toml", text.protectors));
    static_cast<void>(study.folder().write("desk/other.toml", other_card));
    static_cast<void>(study.folder().write("earlier.toml", text.plan));
    // Under names that a report may have.
    const auto link = [&study](const std::string& name, const std::string& as) {
        fs::create_hard_link(study.folder().path(name), study.folder().path(as));
    };
    link("desk/other.toml", "hard.txt");
    link("cards/plan.toml", "cards/plan");
    link("cards/catalogue.toml", "catalogue.json");
    link("cards/epi.toml", "epi.txt");
    link("earlier.toml", "earlier.txt");
    static_cast<void>(study.folder().write("cards/free.txt", "not read"));
    const auto before = all_in(study.root());
    const auto assess = [&study](const std::string& output, const std::string& command = "assess") {
        return run_program({command, "plan.toml", "--force", "--output", output}, study.root());
    };
    for (const std::string kept :
         {"cards/plan", "catalogue.json", "hard.txt", "desk/../desk/..//hard.txt"}) {
        check_refused(assess(kept), kept, "in a folder whose cards were read");
        check_refused(assess(kept, "choose"), kept, "in a folder whose cards were read");
    }
    check_refused(run_program({"assess", "plan.toml", "--against", "earlier.toml", "--force",
                               "--output", "earlier.txt"},
                              study.root()),
                  "earlier.txt", "which was read");
    for (const std::string kept : {"cards/plan", "epi.txt"}) {
        check_refused(
            run_program({"review", "cards/epi.toml", "--force", "--output", kept}, study.root()),
            kept, "this is \"cards/");
    }
    CHECK(all_in(study.root()) == before);
    CHECK(assess("cards/free.txt").status == 0);
}

TEST_CASE("a site, a recording, a calibrator's and a background are not written over") {
    StudyText text;
    text.plan = with(text.plan, "protectors =", "site = \"site.toml\"\nprotectors =");
    const StudyFolder study(text);
    static_cast<void>(study.folder().write("site.toml", "kind = \"site\"\nformat = 1\n"));
    for (const std::string name : {"localiser", "calibrator", "background"}) {
        fs::copy_file(EARBUDGET_SOURCE_DIR "/recordings/" + name + ".flac",
                      study.folder().path(name + ".flac"));
        for (const std::string ending : {".txt", ".toml", ".csv"})
            fs::create_hard_link(study.folder().path(name + ".flac"),
                                 study.folder().path(name + ending));
    }
    fs::create_hard_link(study.folder().path("site.toml"), study.folder().path("site"));
    const auto before = all_in(study.root());
    check_refused(run_program({"assess", "plan.toml", "--force", "--output", "site"}, study.root()),
                  "site", "which was read");
    const std::vector<std::pair<std::string, std::string>> endings = {
        {"--output", ".txt"}, {"--card", ".toml"}, {"--history", ".csv"}};
    for (const auto& [option, ending] : endings) {
        for (const std::string name : {"localiser", "./calibrator", "background"}) {
            const std::string kept = name + ending;
            Words words = {"measure",
                           "localiser.flac",
                           "--calibration",
                           "calibrator.flac",
                           "--calibrator-level",
                           "114",
                           "--background",
                           "background.flac",
                           "--force",
                           option,
                           kept};
            if (option == "--card") words.insert(words.end(), {"--id", "a"});
            check_refused(run_program(words, study.root()), kept, "which was read");
        }
    }
    CHECK(all_in(study.root()) == before);
}

TEST_CASE("only a regular file is replaced: no link, device, pipe, socket or folder") {
    const StudyFolder study;
    const auto in = [&study](const std::string& name) { return study.folder().path(name); };
    static_cast<void>(study.folder().write("report.txt", "the old one"));
    fs::create_directory(in("folder"));
    REQUIRE(::mkfifo(in("pipe").c_str(), 0600) == 0);
    fs::create_symlink("report.txt", in("to-file"));
    fs::create_symlink("nowhere", in("dangling"));
    fs::create_symlink("/dev/null", in("to-device"));
    fs::create_symlink("folder", in("to-folder"));
    const auto before = all_in(study.root());
    for (const bool force : {false, true}) {
        const auto assess = [&](const std::string& output) {
            Words words = {"assess", "plan.toml", "--output", output};
            if (force) words.emplace_back("--force");
            return run_program(words, study.root());
        };
        for (const std::string link :
             {"to-file", "dangling", "to-device", "to-folder", "/dev/stderr", "/proc/self/fd/2"}) {
            check_refused(assess(link), link, "a symbolic link, which is neither followed nor");
        }
        for (const std::string other : {"folder", ".", "pipe", "/dev/null", "/dev/full"})
            check_refused(assess(other), other, "not a regular file");
    }
    CHECK(all_in(study.root()) == before);
    CHECK(fs::is_symlink("/dev/stdout"));
    CHECK(fs::is_character_file("/dev/null"));
}

TEST_CASE("a file that is replaced keeps its permissions, a new one has the usual ones") {
    for (const auto& file_system :
         std::vector<std::function<void()>>{[] {}, know_no_nameless_files}) {
        const StudyFolder study;
        const std::string report = study.folder().path("report.txt");
        const auto assess = [&](const Words& more) {
            Words words = {"assess", "plan.toml", "--output", "report.txt"};
            words.insert(words.end(), more.begin(), more.end());
            const auto restrict = [&file_system] {
                ::umask(027);
                file_system();
            };
            CHECK(run_restricted(restrict, EARBUDGET_PROGRAM, words, study.root()).status == 0);
            struct stat found = {};
            REQUIRE(::stat(report.c_str(), &found) == 0);
            return found;
        };
        CHECK((assess({}).st_mode & 07777U) == 0640);
        for (const mode_t mode : {0600U, 0644U, 0400U, 0666U}) {
            REQUIRE(::chmod(report.c_str(), mode) == 0);
            CHECK((assess({"--force"}).st_mode & 07777U) == mode);
        }
        if (::geteuid() != 0) continue;
        REQUIRE(::chown(report.c_str(), 54321, 54322) == 0);
        const struct stat found = assess({"--force"});
        CHECK(found.st_uid == 54321);
        CHECK(found.st_gid == 54322);
    }
}

TEST_CASE("two outputs that are one file are refused before anything is measured") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("here/old.toml", "old"));
    fs::create_hard_link(study.folder().path("here/old.toml"), study.folder().path("hard.csv"));
    fs::create_directory_symlink("here", study.folder().path("there"));
    const auto before = all_in(study.root());
    const auto check = [&](const Words& words, const std::string& first, const std::string& later) {
        Words all = measuring(words);
        all.emplace_back("--force");
        check_refused(run_program(all, study.root()), later, "the same file as \"" + first + "\"");
    };
    const auto check_report = [&](const std::string& report, const std::string& history) {
        check({"--output", report, "--format", "json", "--history", history}, report, history);
    };
    check_report("new.csv", "./new.csv");
    check_report("here/new.csv", "there/new.csv");
    check_report("here/../new.csv", "there/../new.csv");
    check_report("hard.csv", "there/../hard.csv");
    check({"--card", "here/old.toml", "--id", "a", "--history", "hard.csv"}, "here/old.toml",
          "hard.csv");
    // One inside the other, and names that are too long, are places that there are not.
    check_refused(
        run_program(measuring({"--card", "new.toml", "--history", "new.toml/h.csv"}), study.root()),
        "new.toml/h.csv", "there is no folder \"new.toml\"");
    check_refused(run_program(measuring({"--card", "new.toml", "--history", "here/old.toml/h.csv"}),
                              study.root()),
                  "here/old.toml/h.csv", "Not a directory");
    const std::string long_name(256, 'n');
    check_refused(
        run_program(measuring({"--card", "new.toml", "--output", long_name}), study.root()),
        long_name, "File name too long");
    // A standard output that was led into one of them.
    const std::string command = "cd " + study.root() +
                                " && " EARBUDGET_PROGRAM " measure " EARBUDGET_SOURCE_DIR
                                "/recordings/localiser.flac "
                                "--full-scale-level 130 --card x.toml --force > x.toml 2> errors";
    CHECK(WEXITSTATUS(std::system(command.c_str())) == 2);
    CHECK(content_of(study.folder().path("errors")).find("standard output goes into") !=
          std::string::npos);
    fs::remove(study.folder().path("errors"));
    fs::remove(study.folder().path("x.toml"));
    CHECK(all_in(study.root()) == before);
}

TEST_CASE("of several outputs none is written where one lies in a folder that forbids it") {
    const StudyFolder study;
    for (const std::string name :
         {"card.toml", "history.csv", "sticky/report.json", "locked/report.json"})
        static_cast<void>(study.folder().write(name, "old"));
    if (::geteuid() == 0) {
        REQUIRE(::chown(study.folder().path("sticky").c_str(), 54321, 54321) == 0);
        REQUIRE(::chown(study.folder().path("sticky/report.json").c_str(), 54321, 54321) == 0);
    }
    REQUIRE(::chmod(study.folder().path("sticky").c_str(), 01777) == 0);
    REQUIRE(::chmod(study.folder().path("locked").c_str(), 0500) == 0);
    const auto before = all_in(study.root());
    for (const std::string place : {"sticky/report.json", "locked/report.json"}) {
        // Who owns a file in a sticky folder may replace it.
        if (place.starts_with("sticky") && ::geteuid() != 0) continue;
        for (const auto& file_system :
             std::vector<std::function<void()>>{[] {}, know_no_nameless_files}) {
            const auto restrict = [&file_system] {
                obey_permissions();
                file_system();
            };
            check_refused(run_restricted(restrict, EARBUDGET_PROGRAM,
                                         measuring({"--card", "card.toml", "--history",
                                                    "history.csv", "--force", "--output", place}),
                                         study.root()),
                          place, "cannot");
            CHECK(all_in(study.root()) == before);
        }
    }
    REQUIRE(::chmod(study.folder().path("locked").c_str(), 0700) == 0);
}

TEST_CASE("an immutable file among several outputs is refused before anything is measured") {
    const StudyFolder study;
    const std::string kept = study.folder().write("kept.csv", "old");
    if (run_other("chattr", {"+i", kept}).status != 0) {
        MESSAGE("nobody can make files immutable here; failing moves are tried below");
        return;
    }
    static_cast<void>(study.folder().write("card.toml", "old"));
    const auto before = all_in(study.root());
    const Outcome outcome = run_program(
        measuring({"--card", "card.toml", "--history", "kept.csv", "--force"}), study.root());
    CHECK(run_other("chattr", {"-i", kept}).status == 0);
    check_refused(outcome, "kept.csv", "cannot be replaced: it is made immutable");
    CHECK(all_in(study.root()) == before);
}

TEST_CASE("files are in their places only once standard output took the whole report") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("card.toml", "old"));
    const auto measure = [&](const std::string& into, const std::string& first = "") {
        const std::string command = "cd " + study.root() + " && { " + first +
                                    EARBUDGET_PROGRAM
                                    " measure " EARBUDGET_SOURCE_DIR
                                    "/recordings/localiser.flac --full-scale-level 130 --card "
                                    "card.toml --history h.csv --force 2> /dev/null; "
                                    "echo $? >&3; } 3> status " +
                                    into;
        REQUIRE(WEXITSTATUS(std::system(command.c_str())) == 0);
        return content_of(study.folder().path("status"));
    };
    for (const std::string closed : {"> /dev/full", ">&-"}) {
        CAPTURE(closed);
        CHECK(measure(closed) == "3\n");
        CHECK(content_of(study.folder().path("card.toml")) == "old");
        CHECK(!fs::exists(study.folder().path("h.csv")));
    }
    // A pipe that nobody reads any more when the program begins.
    CHECK(measure("| sh -c 'exec <&-; : > begin; while [ ! -s status ]; do sleep 0.02; done'",
                  "while [ ! -e begin ]; do sleep 0.02; done; ") == "3\n");
    CHECK(content_of(study.folder().path("card.toml")) == "old");
    CHECK(!fs::exists(study.folder().path("h.csv")));
    CHECK(measure("> report") == "0\n");
    CHECK(content_of(study.folder().path("card.toml")).find("kind = \"sequence\"") == 0);
    CHECK(fs::exists(study.folder().path("h.csv")));
}

// A library that is loaded before the sanitizers' own would stop them.
#ifndef EARBUDGET_SANITIZED
TEST_CASE("a move that fails puts the earlier files back, whichever it is and however they move") {
    for (const bool force : {false, true}) {
        for (const auto& file_system :
             std::vector<std::function<void()>>{[] {}, know_no_nameless_files}) {
            const StudyFolder study;
            const Words names = {"card.toml", "history.csv", "report.json"};
            if (force) {
                for (const std::string& name : names)
                    static_cast<void>(study.folder().write(name, "old " + name));
                REQUIRE(::chmod(study.folder().path(names[0]).c_str(), 0600) == 0);
            }
            const auto before = all_in(study.root());
            bool is_through = false;
            for (int move = 1; move < 20 && !is_through; ++move) {
                CAPTURE(move);
                Words words =
                    measuring({"--card", names[0], "--history", names[1], "--output", names[2]});
                if (force) words.emplace_back("--force");
                const Outcome outcome = run_restricted(
                    [&] {
                        ::setenv("LD_PRELOAD", EARBUDGET_FAIL_CALLS, 1);
                        ::setenv("EARBUDGET_FAIL", ("move:" + std::to_string(move)).c_str(), 1);
                        file_system();
                    },
                    EARBUDGET_PROGRAM, words, study.root());
                CAPTURE(outcome.errors);
                is_through = outcome.status == 0;
                if (is_through) break;
                CHECK(outcome.status == 2);
                CHECK(outcome.errors.find("cannot write here: Operation not permitted") !=
                      std::string::npos);
                CHECK(all_in(study.root()) == before);
            }
            CHECK(is_through);
            CHECK(all_in(study.root()).size() == before.size() + (force ? 0 : 3));
        }
    }
}

TEST_CASE("where files cannot be exchanged the earlier ones are kept by a second name or a copy") {
    for (const std::string unknown : {"exchange:1+", "second-name:1+"}) {
        const StudyFolder study;
        static_cast<void>(study.folder().write("card.toml", "old card"));
        static_cast<void>(study.folder().write("history.csv", "old history"));
        const Words words =
            measuring({"--card", "card.toml", "--history", "history.csv", "--force"});
        const Outcome outcome = run_failing(unknown, words, study.root());
        CAPTURE(outcome.errors);
        CHECK(outcome.status == 0);
        CHECK(content_of(study.folder().path("card.toml")).find("kind = \"sequence\"") == 0);
        CHECK(content_of(study.folder().path("history.csv")).find("file,channel") == 0);
        CHECK(all_in(study.root()).size() == 6);
    }
}

TEST_CASE("what cannot even be put back is said, with where the earlier file is") {
    const StudyFolder study;
    static_cast<void>(study.folder().write("card.toml", "old card"));
    static_cast<void>(study.folder().write("history.csv", "old history"));
    // The fourth gives the second draft a name; the moves before put the first into its place.
    const Outcome outcome = run_failing(
        "move:3+",
        measuring({"--card", "card.toml", "--history", "history.csv", "--force", "--output", "r"}),
        study.root());
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 3);
    CHECK(lines_of(outcome.errors) == 1);
    const auto begin = outcome.errors.find("what stood there is \"");
    REQUIRE(begin != std::string::npos);
    const auto name =
        outcome.errors.substr(begin + 21, outcome.errors.find('"', begin + 21) - begin - 21);
    CHECK(content_of(study.folder().path(name)) == "old card");
    CHECK(content_of(study.folder().path("history.csv")) == "old history");
}
#endif
