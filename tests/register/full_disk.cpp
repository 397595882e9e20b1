// No room any more: what was recorded stays, and what was not is not half there.
#include <csignal>
#include <filesystem>
#include <functional>
#include <system_error>

#include <sched.h>
#include <sys/mount.h>
#include <sys/wait.h>

#include "support/register_file.hpp"
#include "support/restricted.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

enum Ended { AsRecorded = 0, NoRoom = 1, Otherwise = 2 };

/// Records until there is no room; `said` is the number of the last entry that was recorded.
Ended fill_up(const std::string& path, int most, std::int64_t& said) {
    try {
        auto target = Register::open(path, Access::Write);
        said = target.head().n;
        for (int n = 0; n < most; ++n)
            said = target.append(some_run("P-1", n));
    } catch (const std::system_error& error) {
        const bool is_no_room = error.code() == std::errc::no_space_on_device ||
                                error.code() == std::errc::file_too_large;
        return is_no_room ? NoRoom : Otherwise;
    } catch (...) {
        return Otherwise;
    }
    return AsRecorded;
}

/// Whether a register ends with the entry that was recorded last, and is whole.
bool is_there(const std::string& path, std::int64_t said) {
    const auto target = Register::open(path, Access::Read);
    const bool intact = target.verify().is_intact();
    return intact && target.head().n == said;
}

Ended in_child(const std::function<Ended()>& work) {
    const pid_t child = ::fork();
    if (child == 0) {
        ::signal(SIGXFSZ, SIG_IGN);
        ::_exit(work());
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? static_cast<Ended>(WEXITSTATUS(status)) : Otherwise;
}

}  // namespace

TEST_CASE("files that may not grow: entries that were recorded stay, the next is refused") {
    const RegisterFolder folder;
    folder.record(20);
    const auto size = std::filesystem::file_size(folder.path());
    bool seen[2] = {};
    for (rlim_t more = 0; more < 200'000; more += 4000) {
        CAPTURE(more);
        const Ended ended = in_child([&] {
            limit_file_size(size + more);
            std::int64_t said = 0;
            const Ended filled = fill_up(folder.path(), 30, said);
            return is_there(folder.path(), said) ? filled : Otherwise;
        });
        REQUIRE(ended != Otherwise);
        seen[ended] = true;
        auto target = folder.open();
        CHECK(target.verify().is_intact());
        CHECK_NOTHROW(target.append(some_run("P-2", 0)));
    }
    CHECK(seen[NoRoom]);
    const Ended none = in_child([&] {
        limit_file_size(4096);
        try {
            Register::create(folder.folder().path("new"), {.time_zone = "UTC"});
        } catch (const std::system_error&) {
            return NoRoom;
        }
        return AsRecorded;
    });
    CHECK(none == NoRoom);
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& entry :
         std::filesystem::directory_iterator(folder.folder().path("")))
        ++files;
    CHECK(files == 1);
}

TEST_CASE("a full file system: entries that were recorded stay, and room made is used") {
    const QuickFolder folder;
    const Ended ended = in_child([&] {
        const std::string place = folder.path("small");
        std::filesystem::create_directory(place);
        // Where nobody may mount, sizes of files are limited above.
        if (::unshare(CLONE_NEWNS) != 0 ||
            ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
            ::mount("none", place.c_str(), "tmpfs", 0, "size=400k") != 0) {
            return NoRoom;
        }
        const std::string path = place + "/r";
        Register::create(path, {.time_zone = "UTC"});
        std::int64_t said = 0;
        if (fill_up(path, 100'000, said) != NoRoom) return Otherwise;
        {
            std::ofstream rest(place + "/rest", std::ios::binary);
            const std::string block(512, 'x');
            while (rest << block && rest.flush()) {
            }
        }
        std::int64_t said_then = said;
        if (fill_up(path, 100'000, said_then) != NoRoom) return Otherwise;
        try {
            static_cast<void>(Register::open(path, Access::Write).backup(place + "/copy"));
            return Otherwise;
        } catch (const std::system_error&) {
        }
        std::filesystem::remove(place + "/rest");
        if (!is_there(path, said_then)) return Otherwise;
        for (const auto& entry : std::filesystem::directory_iterator(place))
            if (entry.path().filename() != "r") return Otherwise;
        return NoRoom;
    });
    CHECK(ended == NoRoom);
}
