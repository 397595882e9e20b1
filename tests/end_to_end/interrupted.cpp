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
#include <sys/ptrace.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/program.hpp"
#include "support/restricted.hpp"
#include "support/study_folder.hpp"

using namespace earbudget::test;

namespace {

/// Becomes the program, stopped before its first instruction.
[[noreturn]] void become_traced(const std::function<void()>& restrict, const std::string& folder,
                                bool force) {
    // A leak check cannot run beside a debugger.
    ::setenv("ASAN_OPTIONS", "detect_leaks=0", 1);
    if (::chdir(folder.c_str()) != 0) ::_exit(126);
    restrict();
    ::ptrace(PTRACE_TRACEME, 0, nullptr, nullptr);
    ::execl(EARBUDGET_PROGRAM, "earbudget", "assess", "plan.toml", "--output", "report.txt",
            "--date", "2026-01-31", force ? "--force" : nullptr, nullptr);
    ::_exit(127);
}

struct Struck {
    unsigned stops = 0;  ///< entries to and returns from system calls that were seen
    int status = 0;      ///< as waitpid tells it
};

/// Runs the program and sends it `signal` when it stops for the `at`-th time.
Struck strike(const std::function<void()>& restrict, const std::string& folder, bool force,
              unsigned at, int signal) {
    const pid_t child = ::fork();
    if (child == 0) become_traced(restrict, folder, force);
    Struck struck;
    for (;;) {
        if (::waitpid(child, &struck.status, 0) != child) throw std::runtime_error("lost a child");
        if (!WIFSTOPPED(struck.status)) return struck;
        if (struck.stops == at) {
            if (signal == SIGKILL) ::kill(child, SIGKILL);
            ::ptrace(PTRACE_DETACH, child, nullptr, signal == SIGKILL ? 0 : signal);
            break;
        }
        ++struck.stops;
        ::ptrace(PTRACE_SYSCALL, child, nullptr, nullptr);
    }
    ::waitpid(child, &struck.status, 0);
    return struck;
}

std::size_t files_in(const std::string& folder) {
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
                    return strike(file_systems[kind], study.root(), force, at, signal);
                };
                const Struck whole = run(never);
                REQUIRE(WIFEXITED(whole.status));
                REQUIRE(WEXITSTATUS(whole.status) == 0);
                const std::string fresh = content_of(report);
                const std::size_t files = files_in(study.root());
                // Writing and ending are less than the last 90 stops; what is before only reads.
                REQUIRE(whole.stops > 100);
                unsigned without = 0, with_report = 0;
                for (unsigned at = whole.stops - 90; at < whole.stops; ++at) {
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
                        files_in(study.root()) - (is_there ? 1 : 0) - (files - 1);
                    CHECK(others <= (signal == SIGKILL && (kind == 1 || force) ? 1 : 0));
                    if (signal == SIGINT) {
                        const bool interrupted =
                            WIFSIGNALED(struck.status) && WTERMSIG(struck.status) == SIGINT;
                        CHECK((interrupted || (is_fresh && WIFEXITED(struck.status) &&
                                               WEXITSTATUS(struck.status) == 0)));
                    }
                    for (const auto& entry : std::filesystem::directory_iterator(study.root())) {
                        const std::string name = entry.path().filename().string();
                        if (name.starts_with("report.txt.")) std::filesystem::remove(entry.path());
                    }
                }
                // The moment from which the report is there was among them.
                CHECK(without > 0);
                CHECK(with_report > 0);
            }
        }
    }
}
