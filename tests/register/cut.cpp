// Power that is lost: the log cut off at any byte, and the file itself.
#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

/// A register as it lies there while it is open: its file, its log, and how long that was after
/// each entry.
struct OpenFiles {
    std::string file, log;
    std::vector<std::size_t> lengths;
};

OpenFiles recorded(const RegisterFolder& folder, int entries) {
    OpenFiles files;
    auto target = folder.open();
    const std::string log = folder.path() + "-wal";
    for (int n = 0; n < entries; ++n) {
        target.append(some_run("P-1", n));
        files.lengths.push_back(std::filesystem::file_size(log));
    }
    files.file = content_of(folder.path());
    files.log = content_of(log);
    return files;
}

void lay_out(const RegisterFolder& folder, const std::string& file, const std::string& log) {
    std::filesystem::remove(folder.path() + "-shm");
    std::filesystem::remove(folder.path() + "-wal");
    std::ofstream(folder.path(), std::ios::binary) << file;
    if (!log.empty()) std::ofstream(folder.path() + "-wal", std::ios::binary) << log;
}

constexpr Instant start_of_all{0};
constexpr Instant end_of_all{4'000'000'000'000};

}  // namespace

TEST_CASE("a log cut off at any byte gives all entries that are whole in it, and no other") {
    const RegisterFolder folder;
    const OpenFiles files = recorded(folder, 3);
    std::vector<std::size_t> cuts;
    constexpr std::size_t usual_step = 331;
    const std::size_t step = std::getenv("EARBUDGET_NIGHTLY") ? 1 : usual_step;
    for (std::size_t at = 0; at <= files.log.size(); at += step)
        cuts.push_back(at);
    for (const std::size_t length : files.lengths)
        for (std::size_t at = length - 30; at <= std::min(length + 30, files.log.size()); ++at)
            cuts.push_back(at);
    bool seen[4] = {};
    for (const std::size_t cut : cuts) {
        CAPTURE(cut);
        lay_out(folder, files.file, files.log.substr(0, cut));
        const auto expected = std::ranges::count_if(
            files.lengths, [cut](std::size_t length) { return length <= cut; });
        const auto target = folder.open(cut % 2 == 0 ? Access::Read : Access::Write);
        REQUIRE(target.head().n == expected);
        CHECK(target.of_person("P-1", start_of_all, end_of_all).size() ==
              static_cast<std::size_t>(expected));
        CHECK(target.verify().is_intact());
        seen[expected] = true;
    }
    for (const bool one : seen)
        CHECK(one);
}

TEST_CASE("a log with a wrong byte gives entries from before it, and no other") {
    const RegisterFolder folder;
    const OpenFiles files = recorded(folder, 3);
    for (std::size_t at = 0; at < files.log.size(); at += 997) {
        CAPTURE(at);
        std::string log = files.log;
        log[at] = static_cast<char>(log[at] ^ 0x20);
        lay_out(folder, files.file, log);
        const auto expected =
            std::ranges::count_if(files.lengths, [at](std::size_t length) { return length <= at; });
        const auto target = folder.open();
        CHECK(target.head().n == expected);
        CHECK(target.verify().is_intact());
    }
}

TEST_CASE("a file that is cut off is refused, with the backup to restore") {
    const RegisterFolder folder;
    folder.record(60);
    const std::string copy = folder.folder().path("copy.register");
    Head head;
    {
        auto target = folder.open();
        head = target.backup(copy).head;
        for (int n = 0; n < 60; ++n)
            target.append(some_run("P-3", 100 + n));
        static_cast<void>(target.backup(folder.folder().path("later")));
    }
    std::filesystem::remove(folder.folder().path("later"));
    const std::string whole = content_of(folder.path());
    int with_backup = 0;
    for (std::size_t left = 0; left < whole.size(); left += left % 2 == 0 ? 1023 : 1025) {
        CAPTURE(left);
        lay_out(folder, whole.substr(0, left), "");
        for (const Access access : {Access::Read, Access::Write}) {
            const std::string refusal =
                refusal_of([&] { static_cast<void>(Register::open(folder.path(), access)); });
            CAPTURE(refusal);
            CHECK(refusal.find(folder.path() + ":1:1: ") == 0);
            if (left == 0) {
                CHECK(refusal.find("this is no register") != std::string::npos);
                continue;
            }
            CHECK(refusal.find("the register is damaged: ") != std::string::npos);
            CHECK(refusal.find("accepted: ") != std::string::npos);
            const bool named = refusal.find(copy) != std::string::npos &&
                               refusal.find("--head " + head.text()) != std::string::npos;
            CHECK((named || refusal.find("it names none that is there") != std::string::npos));
            with_backup += named ? 1 : 0;
        }
    }
    CHECK(with_backup > 10);
    // What is said to be done is done.
    lay_out(folder, content_of(copy), "");
    CHECK(folder.open(Access::Read).verify(head).is_intact());
    lay_out(folder, whole.substr(0, whole.size() - 1), "");
    check_refusal_says([&] { static_cast<void>(folder.open()); }, folder.path(),
                       "1 of its " + std::to_string(whole.size()) + " bytes are missing");
}

TEST_CASE(
    "the log of what was there before is not brought into a backup that is put in its place") {
    const RegisterFolder folder;
    folder.record(3);
    const std::string copy = folder.folder().path("copy");
    const Head head = folder.open().backup(copy).head;
    const OpenFiles files = recorded(folder, 2);
    lay_out(folder, content_of(copy), files.log);
    for (const Access access : {Access::Read, Access::Write}) {
        check_refusal_says([&] { static_cast<void>(folder.open(access)); }, folder.path(),
                           "belongs to what was here before");
    }
    CHECK(content_of(folder.path()) == content_of(copy));
    lay_out(folder, content_of(copy), "");
    CHECK(folder.open().append(some_run("P-1", 0)) == 4);
    CHECK(folder.open().verify(head).is_intact());
}

TEST_CASE("what is moved away or replaced while it is in use takes no entries any more") {
    const RegisterFolder folder;
    folder.record(3);
    auto target = folder.open();
    const std::string elsewhere = folder.folder().path("elsewhere");
    const auto append = [&] { target.append(some_run("P-1", 9)); };
    std::filesystem::rename(folder.path(), elsewhere);
    check_refusal_says(append, folder.path(), "moved away");
    std::filesystem::copy_file(elsewhere, folder.path());
    check_refusal_says(append, folder.path(), "moved away");
    std::filesystem::remove(folder.path());
    std::filesystem::rename(elsewhere, folder.path());
    CHECK(target.append(some_run("P-1", 9)) == 4);
    const auto moved_meanwhile = [&] {
        target.in_one([&] {
            append();
            std::filesystem::rename(folder.path(), elsewhere);
        });
    };
    check_refusal_says(moved_meanwhile, folder.path(), "moved away");
    std::filesystem::rename(elsewhere, folder.path());
    CHECK(target.head().n == 4);
}
