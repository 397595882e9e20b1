// File systems of other machines, where no register is made, opened or copied to.
#include <cstring>
#include <filesystem>

#include <sys/syscall.h>
#include <sys/vfs.h>
#include <unistd.h>

#include "register/network.hpp"
#include "support/register_file.hpp"

using namespace earbudget;
using namespace earbudget::registers;
using namespace earbudget::test;

namespace {

constexpr const char* of_another = "of-another-machine";

}  // namespace

/// The system's, but for folders of this name: these are NFS.
extern "C" int statfs(const char* path, struct statfs* found) noexcept {
    const long result = ::syscall(SYS_statfs, path, found);
    if (result == 0 && std::strstr(path, of_another) != nullptr) found->f_type = 0x6969;
    return static_cast<int>(result);
}

TEST_CASE("file systems of other machines are known by their numbers") {
    CHECK(network_file_system(0x6969)->find("NFS") != std::string::npos);
    CHECK(network_file_system(0xFF534D42)->find("CIFS") != std::string::npos);
    CHECK(network_file_system(static_cast<std::uint64_t>(std::int64_t{-0xACB2BE}))->find("CIFS") !=
          std::string::npos);
    CHECK(network_file_system(0x65735546)->find("FUSE") != std::string::npos);
    CHECK(!network_file_system(0xEF53));
    CHECK(!network_file_system(0x01021994));
    CHECK(!network_file_system(0x58465342));
}

TEST_CASE("no register is made, opened or copied to where locks are none") {
    const RegisterFolder folder;
    folder.record(2);
    const std::string place = folder.folder().path(of_another);
    std::filesystem::create_directory(place);
    const std::string there = place + "/r";
    const std::string words = "this is on a network file system (NFS)";
    check_refusal_says([&] { Register::create(there, {.time_zone = "UTC"}); }, there, words);
    check_refusal_says([&] { folder.open().backup(there); }, there, words);
    CHECK(std::filesystem::is_empty(place));
    std::filesystem::copy_file(folder.path(), there);
    for (const Access access : {Access::Read, Access::Write})
        check_refusal_says([&] { static_cast<void>(Register::open(there, access)); }, there, words);
    CHECK(folder.open().head().n == 2);
}
