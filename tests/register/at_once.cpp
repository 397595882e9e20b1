// Many programs write to one register: nothing is lost, and copies are of one moment.
#include <cstdlib>
#include <set>

#include <sys/wait.h>

#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

constexpr int programs = 16;

/// Records as a program of its own does; each has opened the register itself.
[[noreturn]] void write_as(int program, int entries, const std::string& path) {
    int status = 1;
    try {
        auto target = Register::open(path, Access::Write);
        const std::string code = "P-" + std::to_string(program);
        for (int n = 0; n < entries; ++n)
            target.append(some_run(code, n, program + 1));
        status = 0;
    } catch (const std::exception& error) {
        static_cast<void>(std::fprintf(stderr, "program %d: %s\n", program, error.what()));
    }
    ::_exit(status);
}

}  // namespace

TEST_CASE("sixteen programs write at once, and no entry is lost") {
    const RegisterFolder folder;
    const int entries = std::getenv("EARBUDGET_NIGHTLY") ? 1000 : 60;
    std::vector<pid_t> children;
    for (int program = 0; program < programs; ++program) {
        const pid_t child = ::fork();
        if (child == 0) write_as(program, entries, folder.path());
        children.push_back(child);
    }
    // Meanwhile somebody copies it and somebody reads.
    for (int n = 0; n < 4; ++n) {
        const std::string copy = folder.folder().path("copy-" + std::to_string(n));
        const auto backup = folder.open().backup(copy);
        CHECK(Register::open(copy, Access::Read).verify(backup.head).is_intact());
        const auto reader = folder.open(Access::Read);
        CHECK(reader.verify(backup.head).is_intact());
    }
    for (const pid_t child : children) {
        int status = -1;
        CHECK(::waitpid(child, &status, 0) == child);
        CHECK(status == 0);
    }
    const auto target = folder.open(Access::Read);
    CHECK(target.head().n == programs * entries + 4);
    const auto result = target.verify();
    CHECK(result.is_intact());
    CHECK(result.entries == programs * entries + 4);
    for (int program = 0; program < programs; ++program) {
        std::set<std::string> bodies;
        for (const Entry& entry : target.of_session(program + 1)) {
            CHECK(entry.as == "P-" + std::to_string(program));
            bodies.insert(entry.body);
        }
        CHECK(bodies.size() == static_cast<std::size_t>(entries));
    }
}

TEST_CASE("who waits for others too long is told, and nothing of theirs is lost") {
    const RegisterFolder folder;
    auto one = folder.open();
    auto other = folder.open();
    one.in_one([&] {
        one.append(some_run("P-1", 0));
        // Reading goes on meanwhile.
        CHECK(other.head().n == 0);
        if (std::getenv("EARBUDGET_NIGHTLY"))
            check_refusal_says([&] { other.append(some_run("P-2", 1)); }, folder.path(),
                               "others kept the register busy for ten seconds");
    });
    CHECK(other.append(some_run("P-2", 1)) == 2);
}
