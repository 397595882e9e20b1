// The machine fails: outputs are whole or absent, the old file is intact, nothing else is left, and
// the status tells the fault (3) from bad input (2). Limits and small file systems are real ones.
#include <filesystem>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

using Words = std::vector<std::string>;

std::set<std::string> files_in(const std::string& folder) {
    std::set<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        names.insert(entry.path().filename().string());
    return names;
}

/// A fault: status 3, one line, nothing on standard output.
void check_fault(const Outcome& outcome) {
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 3);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find("earbudget: cannot write \"") == 0);
}

void check_refusal(const Outcome& outcome, const std::string& file) {
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 2);
    CHECK(outcome.output.empty());
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.errors.find(file + ":") == 0);
    CHECK(outcome.errors.find("accepted: ") != std::string::npos);
}

const std::vector<std::function<void()>> with_and_without_nameless = {[] {},
                                                                      know_no_nameless_files};

}  // namespace

TEST_CASE("no room for a report: status 3, the old one intact, nothing left") {
    for (const auto& file_system : with_and_without_nameless) {
        const StudyFolder study;
        const auto before = files_in(study.root());
        const auto restrict = [&file_system] {
            file_system();
            limit_file_size(1000);  // a report has several thousand bytes
        };
        const auto assess = [&](const Words& more) {
            Words words = {"assess", "plan.toml", "--output", "report.txt"};
            words.insert(words.end(), more.begin(), more.end());
            return run_restricted(restrict, EARBUDGET_PROGRAM, words, study.root());
        };
        check_fault(assess({}));
        CHECK(files_in(study.root()) == before);
        static_cast<void>(study.folder().write("report.txt", "the old one"));
        check_fault(assess({"--force"}));
        CHECK(content_of(study.folder().path("report.txt")) == "the old one");
        CHECK(files_in(study.root()).size() == before.size() + 1);
    }
}

TEST_CASE("of several files to write none is there when one cannot be stored") {
    const TemporaryFolder folder;
    const auto measure = [&folder](const std::function<void()>& restrict) {
        return run_restricted(restrict, EARBUDGET_PROGRAM,
                              {"measure", EARBUDGET_SOURCE_DIR "/recordings/localiser.flac",
                               "--full-scale-level", "130", "--card", "card.toml", "--history",
                               "history.csv", "--output", "report.json", "--format", "json"},
                              folder.path(""));
    };
    // The card has some 1000 bytes, the report, stored last, several thousand.
    check_fault(measure([] { limit_file_size(2500); }));
    CHECK(files_in(folder.path("")).empty());
    CHECK(measure([] {}).status == 0);
    CHECK(files_in(folder.path("")) ==
          std::set<std::string>{"card.toml", "history.csv", "report.json"});
    CHECK(std::filesystem::file_size(folder.path("card.toml")) < 2500);
    CHECK(std::filesystem::file_size(folder.path("report.json")) > 2500);
}

TEST_CASE("a full file system: status 3, the old report intact, nothing left") {
    const Words in_own_mounts =
        ::geteuid() == 0 ? Words{"--mount"} : Words{"--user", "--map-root-user", "--mount"};
    Words trial = in_own_mounts;
    trial.insert(trial.end(), {"mount", "-t", "tmpfs", "none", "/mnt"});
    if (run_other("unshare", trial).status != 0) {
        MESSAGE("this machine lets nobody mount a small file system; size limits are tried above");
        return;
    }
    const StudyFolder study;
    for (const std::string room : {"size=64k", "nr_inodes=3"}) {
        CAPTURE(room);
        // The old report and the file that fills the rest take the two files besides the root.
        const std::string script =
            "mkdir -p small && mount -t tmpfs -o " + room +
            " none small && "
            "printf old > small/report.html && { head -c 65536 /dev/zero > small/rest; true; } "
            "2> noise && " EARBUDGET_PROGRAM
            " assess plan.toml --format html --force "
            "--output small/report.html 2> errors; echo $? > status; "
            "cat small/report.html > kept; ls -A small > left";
        Words words = in_own_mounts;
        words.insert(words.end(), {"sh", "-c", script});
        REQUIRE(run_other("unshare", words, study.root()).status == 0);
        const std::string errors = content_of(study.folder().path("errors"));
        CAPTURE(errors);
        CHECK(content_of(study.folder().path("status")) == "3\n");
        CHECK(errors.find("earbudget: cannot write \"small/report.html\"") == 0);
        CHECK(errors.find("No space left on device") != std::string::npos);
        CHECK(content_of(study.folder().path("kept")) == "old");
        CHECK(content_of(study.folder().path("left")) == "report.html\nrest\n");
    }
}

TEST_CASE("a file may have the longest name that there is, new or replaced") {
    for (const auto& file_system : with_and_without_nameless) {
        const StudyFolder study;
        const std::string name(255, 'n');
        for (const bool force : {false, true}) {
            Words words = {"assess", "plan.toml", "--output", name};
            if (force) words.emplace_back("--force");
            const Outcome outcome =
                run_restricted(file_system, EARBUDGET_PROGRAM, words, study.root());
            CAPTURE(outcome.errors);
            CHECK(outcome.status == 0);
        }
        check_refusal(run_restricted(file_system, EARBUDGET_PROGRAM,
                                     {"assess", "plan.toml", "--output", name + 'n'}, study.root()),
                      name + 'n');
        CHECK(files_in(study.root()) ==
              std::set<std::string>{"cards", "plan.toml", "protectors.toml", name});
    }
}

TEST_CASE("what must not be read or written is refused, status 2") {
    const StudyFolder study;
    const auto run = [&study](const Words& words) {
        return run_restricted(obey_permissions, EARBUDGET_PROGRAM, words, study.root());
    };
    using std::filesystem::perms;
    const auto permit = [&study](const std::string& name, perms permissions) {
        std::filesystem::permissions(study.folder().path(name), permissions);
    };
    for (const std::string name : {"plan.toml", "protectors.toml", "cards/epi.toml", "cards"}) {
        CAPTURE(name);
        permit(name, perms::none);
        // Where a plan names the file, that place is told.
        const std::string blamed = name == "cards/epi.toml" ? name : "plan.toml";
        check_refusal(run({"assess", "plan.toml"}), blamed);
        permit(name, perms::owner_all);
    }
    std::filesystem::copy_file(EARBUDGET_SOURCE_DIR "/recordings/localiser.flac",
                               study.folder().path("sound.flac"));
    permit("sound.flac", perms::none);
    check_refusal(run({"measure", "sound.flac", "--full-scale-level", "130"}), "sound.flac");
    static_cast<void>(study.folder().write("locked/report.txt", "the old one"));
    permit("locked", perms::owner_read | perms::owner_exec);
    for (const bool force : {false, true}) {
        Words words = {"assess", "plan.toml", "--output",
                       force ? "locked/report.txt" : "locked/new.txt"};
        if (force) words.emplace_back("--force");
        check_refusal(run(words), words[3]);
    }
    permit("locked", perms::owner_all);
    CHECK(files_in(study.folder().path("locked")) == std::set<std::string>{"report.txt"});
    CHECK(content_of(study.folder().path("locked/report.txt")) == "the old one");
    CHECK(run({"assess", "plan.toml"}).status == 0);
}

TEST_CASE("streams that are closed are a fault of writing, and never written into a file") {
    const StudyFolder study;
    const auto run = [&study](const std::string& words) {
        const std::string command =
            "cd " + study.root() + " && " EARBUDGET_PROGRAM " " + words + " 2> errors";
        return WEXITSTATUS(std::system(command.c_str()));
    };
    CHECK(run("assess plan.toml >&-") == 3);
    CHECK(lines_of(content_of(study.folder().path("errors"))) == 1);
    CHECK(run("assess plan.toml --output report.txt <&- >&-") == 0);
    CHECK(run("assess plan.toml --output second.txt --date 2026-01-31 <&- >&-") == 0);
    const std::string command = "cd " + study.root() +
                                " && " EARBUDGET_PROGRAM
                                " assess absent.toml --output third.txt <&- >&- 2>&-";
    CHECK(WEXITSTATUS(std::system(command.c_str())) == 2);
    CHECK(content_of(study.folder().path("report.txt")).find("Within every limit") == 0);
    CHECK(!std::filesystem::exists(study.folder().path("third.txt")));
}

// Sanitizers keep terabytes of addresses for themselves.
#ifndef EARBUDGET_SANITIZED
TEST_CASE("memory that cannot be had is a fault, status 3, with one line") {
    const StudyFolder study;
    const std::string row = "[[timeline]]\nrest = \"1 s\"\n";
    std::string plan = with(StudyText().plan, "[[timeline]]", row + "[[timeline]]");
    for (int n = 0; n < 1900; ++n)
        plan.insert(plan.find("[[timeline]]"), row);
    static_cast<void>(study.folder().write("long.toml", plan));
    const auto assess = [&study](rlim_t bytes) {
        return run_restricted([bytes] { limit_memory(bytes); }, EARBUDGET_PROGRAM,
                              {"assess", "long.toml"}, study.root());
    };
    constexpr rlim_t mebi = 1U << 20U;
    const Outcome outcome = assess(40 * mebi);
    CAPTURE(outcome.errors);
    CHECK(outcome.status == 3);
    CHECK(lines_of(outcome.errors) == 1);
    CHECK(outcome.output.empty());
}
#endif
