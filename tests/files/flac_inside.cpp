#include "files/flac_inside.hpp"

#include <algorithm>
#include <random>
#include <string>
#include <string_view>

#include <doctest/doctest.h>

#include "files/open_file.hpp"
#include "support/temporary_folder.hpp"

using namespace earbudget;
using namespace earbudget::test;
using files::FlacInside;

namespace {

const std::string marker("fLaC\0\0\0\x22", 8);

/// Bytes with half a marker here and there, and a whole one from a place on.
std::string bytes_with_marker(std::mt19937& random, std::size_t size, std::size_t at) {
    std::uniform_int_distribution<int> byte(0, 255);
    std::string bytes(size, '\0');
    for (char& one : bytes)
        one = static_cast<char>(byte(random));
    for (std::size_t n = 0; n + 4 <= size; n += 97)
        bytes.replace(n, 4, "fLaC");
    if (at + marker.size() <= size) bytes.replace(at, marker.size(), marker);
    return bytes;
}

}  // namespace

TEST_CASE("another FLAC file inside is found wherever reading breaks off and leaves out") {
    const TemporaryFolder folder;
    std::mt19937 random(71);
    std::uniform_int_distribution<std::size_t> any(0, 2000);
    std::uniform_int_distribution<std::size_t> step(1, 40);
    std::bernoulli_distribution rarely(0.02);
    for (int round = 0; round < 200; ++round) {
        const std::size_t at = any(random);
        const std::string bytes = bytes_with_marker(random, 1500, at);
        const files::OpenFile file(folder.write("a", bytes));
        const std::size_t begin = any(random) % 50;
        FlacInside inside(begin);
        for (std::size_t next = 0; next < bytes.size();) {
            const std::size_t size = std::min(step(random), bytes.size() - next);
            if (!rarely(random)) inside.look_at(next, std::string_view(bytes).substr(next, size));
            next += size;
        }
        CAPTURE(at);
        CAPTURE(begin);
        const std::size_t found = bytes.find(marker, begin);
        CHECK(inside.begin_in(file).value_or(std::string::npos) == found);
    }
}

TEST_CASE("what was looked at while it was read is not read again") {
    const TemporaryFolder folder;
    std::mt19937 random(72);
    const std::string bytes = bytes_with_marker(random, 1500, 700);
    // In its place is a file without any.
    const files::OpenFile other(folder.write("b", std::string(1500, ' ')));
    FlacInside inside(8);
    inside.look_at(0, bytes);
    CHECK(inside.begin_in(other) == 700U);
    FlacInside unread(8);
    CHECK(!unread.begin_in(other));
}
