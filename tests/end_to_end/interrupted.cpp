// Killed or interrupted at any moment: the report is the old one or the new one, whole. The moments
// are the program's system calls, each in turn, as a debugger sees them.
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/ioctl.h>
#include <sys/ptrace.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

/// Becomes the program, stopped before its first instruction.
[[noreturn]] void become_traced(const std::function<void()>& restrict, const std::string& folder,
                                std::vector<std::string> words) {
    // A leak check cannot run beside a debugger.
    ::setenv("ASAN_OPTIONS", "detect_leaks=0", 1);
    if (::chdir(folder.c_str()) != 0) ::_exit(126);
    restrict();
    ::ptrace(PTRACE_TRACEME, 0, nullptr, nullptr);
    std::vector<char*> argv;
    for (std::string& word : words)
        argv.push_back(word.data());
    argv.push_back(nullptr);
    ::execv(EARBUDGET_PROGRAM, argv.data());
    ::_exit(127);
}

struct Struck {
    unsigned stops = 0;  ///< entries to and returns from system calls that were seen
    unsigned first_move = 0, last_move = 0;  ///< those that give a file its name or place
    int status = 0;                          ///< as waitpid tells it
};

/// Whether the child has stopped before a call that gives a file its name or place.
bool is_about_to_move(pid_t child) {
    __ptrace_syscall_info info = {};
    if (::ptrace(PTRACE_GET_SYSCALL_INFO, child, sizeof info, &info) <= 0) return false;
    return info.op == PTRACE_SYSCALL_INFO_ENTRY &&
           (info.entry.nr == SYS_linkat || info.entry.nr == SYS_renameat2 ||
            info.entry.nr == SYS_rename);
}

/// Runs the program and sends it `signal` when it stops for the `at`-th time.
Struck strike(const std::function<void()>& restrict, const std::string& folder,
              std::vector<std::string> words, bool force, unsigned at, int signal) {
    words.insert(words.begin(), "earbudget");
    if (force) words.emplace_back("--force");
    const pid_t child = ::fork();
    if (child == 0) become_traced(restrict, folder, std::move(words));
    Struck struck;
    for (;;) {
        if (::waitpid(child, &struck.status, 0) != child) throw std::runtime_error("lost a child");
        if (!WIFSTOPPED(struck.status)) return struck;
        if (struck.stops == at) {
            if (signal == SIGKILL) ::kill(child, SIGKILL);
            ::ptrace(PTRACE_DETACH, child, nullptr, signal == SIGKILL ? 0 : signal);
            break;
        }
        // Stops at system calls tell of the call only when they are told from other stops.
        if (struck.stops == 0) ::ptrace(PTRACE_SETOPTIONS, child, nullptr, PTRACE_O_TRACESYSGOOD);
        if (is_about_to_move(child)) {
            if (struck.first_move == 0) struck.first_move = struck.stops;
            struck.last_move = struck.stops;
        }
        ++struck.stops;
        ::ptrace(PTRACE_SYSCALL, child, nullptr, nullptr);
    }
    ::waitpid(child, &struck.status, 0);
    return struck;
}

std::size_t number_of_files(const std::string& folder) {
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        files += entry.is_regular_file() ? 1 : 0;
    return files;
}

}  // namespace

TEST_CASE("a program killed or interrupted at any system call leaves a whole report or none") {
    const StudyFolder study;
    const std::string report = study.folder().path("report.txt");
    constexpr unsigned never = 1'000'000;
    const std::vector<std::function<void()>> file_systems = {[] {}, know_no_nameless_files};
    for (std::size_t kind = 0; kind < file_systems.size(); ++kind) {
        for (const bool force : {false, true}) {
            for (const int signal : {SIGKILL, SIGINT}) {
                CAPTURE(kind);
                CAPTURE(force);
                CAPTURE(signal);
                const auto run = [&](unsigned at) {
                    std::filesystem::remove(report);
                    if (force) static_cast<void>(study.folder().write("report.txt", "the old one"));
                    return strike(
                        file_systems[kind], study.root(),
                        {"assess", "plan.toml", "--output", "report.txt", "--date", "2026-01-31"},
                        force, at, signal);
                };
                const Struck whole = run(never);
                REQUIRE(WIFEXITED(whole.status));
                REQUIRE(WEXITSTATUS(whole.status) == 0);
                const std::string fresh = content_of(report);
                const std::size_t files = number_of_files(study.root());
                // From before the draft is made to after all is in place; the rest only reads.
                // Where nobody may be traced this sees no call.
                REQUIRE(whole.first_move > 40);
                unsigned without = 0, with_report = 0;
                for (unsigned at = whole.first_move - 40; at < whole.last_move + 12; ++at) {
                    CAPTURE(at);
                    const Struck struck = run(at);
                    const bool is_there = std::filesystem::exists(report);
                    const std::string left = is_there ? content_of(report) : "";
                    const bool is_fresh = left == fresh;
                    CHECK((is_fresh || (force ? left == "the old one" : !is_there)));
                    ++(is_fresh ? with_report : without);
                    // A named draft can outlive only a kill, and one without a name only in the
                    // moment in which it is given the name to be renamed from.
                    const std::size_t others =
                        number_of_files(study.root()) - (is_there ? 1 : 0) - (files - 1);
                    CHECK(others <= (signal == SIGKILL && (kind == 1 || force) ? 1 : 0));
                    if (signal == SIGINT) {
                        const bool interrupted =
                            WIFSIGNALED(struck.status) && WTERMSIG(struck.status) == SIGINT;
                        CHECK((interrupted || (is_fresh && WIFEXITED(struck.status) &&
                                               WEXITSTATUS(struck.status) == 0)));
                    }
                    for (const auto& entry : std::filesystem::directory_iterator(study.root())) {
                        const std::string name = entry.path().filename().string();
                        if (name.starts_with(".earbudget-")) std::filesystem::remove(entry.path());
                    }
                }
                // The moment from which the report is there was among them.
                CHECK(without > 0);
                CHECK(with_report > 0);
            }
        }
    }
}

TEST_CASE("while standard output is stuck no file is there, and interrupts end the program") {
    const TemporaryFolder folder;
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    // The least that a pipe can hold, a page: the report is longer.
    REQUIRE(::fcntl(ends[1], F_SETPIPE_SZ, 1) > 0);
    // The drafts are stored by then; those with names are found beside their places.
    for (const bool nameless : {true, false}) {
        const std::string card = folder.path("a.toml");
        const std::string history = folder.path("a.csv");
        const pid_t child = ::fork();
        if (child == 0) {
            if (!nameless) know_no_nameless_files();
            ::dup2(ends[1], STDOUT_FILENO);
            ::execl(EARBUDGET_PROGRAM, "earbudget", "measure",
                    EARBUDGET_SOURCE_DIR "/recordings/localiser.flac", "--full-scale-level", "130",
                    "--card", card.c_str(), "--history", history.c_str(), "--format", "json",
                    nullptr);
            ::_exit(127);
        }
        int status = 0;
        pid_t ended = 0;
        int unread = 0;
        // Thirty seconds at most: whoever does not hear is killed, and found out.
        for (int n = 0; n < 3000 && ended == 0; ++n) {
            ::usleep(10'000);
            ::ioctl(ends[0], FIONREAD, &unread);
            if (unread > 0 && n % 20 == 19) ::kill(child, SIGTERM);
            ended = ::waitpid(child, &status, WNOHANG);
        }
        if (ended == 0) {
            ::kill(child, SIGKILL);
            ::waitpid(child, &status, 0);
        }
        CHECK(unread > 0);
        CHECK(std::filesystem::is_empty(folder.path("")));
        CHECK(WIFSIGNALED(status));
        CHECK(WTERMSIG(status) == SIGTERM);
    }
    ::close(ends[0]);
    ::close(ends[1]);
}

TEST_CASE("of several files an interrupt at any system call leaves all old or all new") {
    const StudyFolder study;
    const std::vector<std::string> names = {"card.toml", "history.csv", "report.json"};
    constexpr unsigned never = 1'000'000;
    for (const bool force : {false, true}) {
        CAPTURE(force);
        const auto run = [&](unsigned at) {
            for (const std::string& name : names) {
                std::filesystem::remove(study.folder().path(name));
                if (force) static_cast<void>(study.folder().write(name, "old"));
            }
            return strike([] {}, study.root(),
                          {"measure", EARBUDGET_SOURCE_DIR "/recordings/localiser.flac",
                           "--full-scale-level", "130", "--card", names[0], "--history", names[1],
                           "--output", names[2], "--date", "2026-01-31"},
                          force, at, SIGINT);
        };
        const Struck whole = run(never);
        REQUIRE(WIFEXITED(whole.status));
        REQUIRE(WEXITSTATUS(whole.status) == 0);
        const std::size_t files = number_of_files(study.root());
        unsigned all_old = 0, all_new = 0;
        // Every fifth is odd and even in turn: before calls and after them.
        for (unsigned at = whole.first_move - 40; at < whole.last_move + 8; at += 5) {
            CAPTURE(at);
            static_cast<void>(run(at));
            std::size_t fresh = 0;
            for (const std::string& name : names) {
                const std::string path = study.folder().path(name);
                if (std::filesystem::exists(path) && content_of(path) != "old") ++fresh;
            }
            CHECK((fresh == 0 || fresh == names.size()));
            ++(fresh == 0 ? all_old : all_new);
            CHECK(number_of_files(study.root()) ==
                  (force || fresh > 0 ? files : files - names.size()));
        }
        CHECK(all_old > 0);
        CHECK(all_new > 0);
    }
}
