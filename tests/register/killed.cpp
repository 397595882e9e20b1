// Killed at any system call: a register is what it was or what it was to be. The calls are seen as
// a debugger sees them.
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <stdexcept>

#include <sys/ptrace.h>
#include <sys/wait.h>

#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

constexpr unsigned never = 1'000'000;

/// Work that is done in a process of its own and says of each step that it is done.
using Work = std::function<void(const std::function<void()>& say_done)>;

struct KilledWork {
    unsigned stops = 0;  ///< entries to and returns from system calls that were seen
    int steps_done = 0;
    bool has_ended = false;
};

[[noreturn]] void work_traced(const Work& work, int done) {
    ::ptrace(PTRACE_TRACEME, 0, nullptr, nullptr);
    ::raise(SIGSTOP);
    try {
        work([done] { static_cast<void>(!::write(done, "x", 1)); });
    } catch (...) {
        ::_exit(1);
    }
    ::_exit(0);
}

/// Does work and kills it when it stops for the `at`-th time.
KilledWork work_until(unsigned at, const Work& work) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const pid_t child = ::fork();
    if (child == 0) work_traced(work, ends[1]);
    ::close(ends[1]);
    KilledWork result;
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    while (WIFSTOPPED(status)) {
        if (result.stops == at) ::kill(child, SIGKILL);
        ++result.stops;
        ::ptrace(PTRACE_SYSCALL, child, nullptr, nullptr);
        if (::waitpid(child, &status, 0) != child) throw std::runtime_error("lost a child");
    }
    result.has_ended = WIFEXITED(status) && WEXITSTATUS(status) == 0;
    char step = 0;
    while (::read(ends[0], &step, 1) == 1)
        ++result.steps_done;
    ::close(ends[0]);
    return result;
}

/// All stops at night, every so many else.
unsigned step_of(unsigned usual) { return std::getenv("EARBUDGET_NIGHTLY") ? 1 : usual; }

void put(const std::string& bytes, const std::string& path) {
    for (const char* ending : {"-wal", "-shm", "-journal"})
        std::filesystem::remove(path + ending);
    std::ofstream(path, std::ios::binary) << bytes;
}

std::size_t drafts_left(const std::string& folder) {
    std::size_t left = 0;
    std::vector<std::filesystem::path> all;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        if (entry.path().filename().string().starts_with(".earbudget-"))
            all.push_back(entry.path());
    for (const auto& path : all) {
        const std::string name = path.filename().string();
        left +=
            name.ends_with("-wal") || name.ends_with("-shm") || name.ends_with("-journal") ? 0 : 1;
        std::filesystem::remove(path);
    }
    return left;
}

constexpr Instant first_moment{0};
constexpr Instant last_moment{4'000'000'000'000};

}  // namespace

TEST_CASE("a program killed at any system call of recording has recorded all that it said") {
    const RegisterFolder folder;
    folder.record(3);
    const std::string before = content_of(folder.path());
    const Work record = [&](const std::function<void()>& say_done) {
        auto target = folder.open();
        for (int n = 0; n < 2; ++n) {
            target.in_one([&] {
                target.append(some_run("P-1", 10 + 2 * n));
                target.append(some_run("P-9", 11 + 2 * n));
            });
            say_done();
        }
    };
    const unsigned stops = work_until(never, record).stops;
    // Where nobody may be traced this sees no call.
    REQUIRE(stops > 100);
    bool seen[3] = {};
    for (unsigned at = 1; at < stops; at += step_of(3)) {
        CAPTURE(at);
        put(before, folder.path());
        const KilledWork killed = work_until(at, record);
        auto target = folder.open();
        const std::int64_t more = target.head().n - 3;
        CHECK((more == 2 * killed.steps_done || more == 2 * killed.steps_done + 2));
        CHECK(target.verify().is_intact());
        CHECK(target.of_person("P-9", first_moment, last_moment).size() ==
              static_cast<std::size_t>(more / 2));
        CHECK(target.append(some_run("P-2", 20)) == 4 + more);
        seen[more / 2] = true;
    }
    for (const bool one : seen)
        CHECK(one);
}

TEST_CASE("killed while it is made, a register is there whole or not at all") {
    const QuickFolder folder;
    const std::string path = folder.path("r");
    const Work make = [&](const auto& say_done) {
        Register::create(path, {.time_zone = "UTC"});
        say_done();
    };
    const unsigned stops = work_until(never, make).stops;
    REQUIRE(stops > 100);
    unsigned there = 0, absent = 0;
    for (unsigned at = 1; at < stops; at += step_of(5)) {
        CAPTURE(at);
        std::filesystem::remove(path);
        const KilledWork killed = work_until(at, make);
        CHECK(drafts_left(folder.path("")) <= 1);
        const bool is_there = std::filesystem::exists(path);
        CHECK((is_there || killed.steps_done == 0));
        ++(is_there ? there : absent);
        if (!is_there) continue;
        auto target = Register::open(path, Access::Write);
        CHECK(target.append(some_run("P-1", 0)) == 1);
        CHECK(target.verify().is_intact());
    }
    CHECK(there > 0);
    CHECK(absent > 0);
}

TEST_CASE("killed while it makes a backup, that is there whole or not at all") {
    const RegisterFolder folder;
    folder.record(3);
    const Head head = folder.open().head();
    const std::string before = content_of(folder.path());
    const std::string copy = folder.folder().path("copy");
    const Work back_up = [&](const auto& say_done) {
        folder.open().backup(copy);
        say_done();
    };
    const unsigned stops = work_until(never, back_up).stops;
    REQUIRE(stops > 100);
    unsigned there = 0, absent = 0;
    for (unsigned at = 1; at < stops; at += step_of(7)) {
        CAPTURE(at);
        std::filesystem::remove(copy);
        put(before, folder.path());
        const KilledWork killed = work_until(at, back_up);
        CHECK(drafts_left(folder.folder().path("")) <= 1);
        const bool is_there = std::filesystem::exists(copy);
        ++(is_there ? there : absent);
        if (is_there) CHECK(Register::open(copy, Access::Read).verify(head).is_intact());
        auto target = folder.open();
        CHECK(target.verify(head).is_intact());
        CHECK(target.backups().size() >= static_cast<std::size_t>(killed.steps_done));
        // What is told of is there: what is not told of would not be named to who erases.
        if (!target.backups().empty()) CHECK(is_there);
    }
    CHECK(there > 0);
    CHECK(absent > 0);
}

TEST_CASE("killed while it erases, a person is there as before, or gone and soon wiped") {
    const RegisterFolder folder;
    folder.record(20, {"P-secret", "P-2"});
    const Head head = folder.open().head();
    const std::string before = content_of(folder.path());
    const Work erase = [&](const auto& say_done) {
        static_cast<void>(folder.open().erase("P-secret"));
        say_done();
    };
    const unsigned stops = work_until(never, erase).stops;
    REQUIRE(stops > 100);
    unsigned there = 0, gone = 0;
    for (unsigned at = 1; at < stops; at += step_of(11)) {
        CAPTURE(at);
        put(before, folder.path());
        const KilledWork killed = work_until(at, erase);
        {
            const auto target = folder.open();
            const auto result = target.verify(head);
            CHECK(result.is_intact());
            const bool is_there = target.knows("P-secret");
            CHECK((!is_there || killed.steps_done == 0));
            CHECK(result.erased == (is_there ? 0 : 10));
            CHECK(target.of_person("P-secret", first_moment, last_moment).size() ==
                  (is_there ? 10U : 0U));
            CHECK(target.of_person("P-2", first_moment, last_moment).size() == 10);
            ++(is_there ? there : gone);
            if (is_there) continue;
        }
        CHECK(content_of(folder.path()).find("P-secret") == std::string::npos);
        CHECK(!std::filesystem::exists(folder.path() + "-wal"));
    }
    CHECK(there > 0);
    CHECK(gone > 0);
}
