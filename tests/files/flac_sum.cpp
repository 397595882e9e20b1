// The sum of its samples that a FLAC file's header states (RFC 9639, 8.2).
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "files/sound_files.hpp"
#include "measurement/signals.hpp"

using namespace earbudget;
using namespace earbudget::test;
using earbudget::files::SoundFile;

namespace {

constexpr std::size_t sum_at = 26;
constexpr int flac_16 = SF_FORMAT_FLAC | SF_FORMAT_PCM_16;

std::string with_other_sum(std::string bytes) {
    bytes[sum_at] = static_cast<char>(bytes[sum_at] ^ 1);
    return bytes;
}

std::string without_sum(std::string bytes) { return bytes.replace(sum_at, 16, 16, '\0'); }

constexpr const char* not_those = "damaged: its samples are not those that its checksum is of";

}  // namespace

TEST_CASE("samples that fit the sum of a FLAC header are read, and no others") {
    const Folder folder;
    std::size_t rows = 0;
    for (const int bits : {SF_FORMAT_PCM_S8, SF_FORMAT_PCM_16, SF_FORMAT_PCM_24}) {
        for (const int channels : {1, 2, 3}) {
            CAPTURE(bits);
            CAPTURE(channels);
            std::vector<double> sound = white_noise(0.3, 1.0, 48000);
            sound.resize(sound.size() / 6 * 6);
            sound[0] = -1.0;  // the lowest number
            sound[1] = 1.0;
            const auto path =
                write_sound(folder.file("a.flac"), sound, SF_FORMAT_FLAC | bits, channels);
            const std::string bytes = bytes_of(path);
            REQUIRE(bytes.substr(sum_at, 16) != std::string(16, '\0'));
            CHECK(refusal_of(path).empty());
            const auto other = write_bytes(folder.file("b.flac"), with_other_sum(bytes));
            CHECK(refusal_of(other).find(not_those) != std::string::npos);
            CHECK(refusal_of(write_bytes(folder.file("b.flac"), without_sum(bytes))).empty());
            ++rows;
        }
    }
    CHECK(rows == 9);
}

TEST_CASE("a sum is checked where the length is not stated, and behind a tag, but of no part") {
    const Folder folder;
    const std::string bytes =
        bytes_of(write_sound(folder.file("a.flac"), white_noise(0.3, 1.0, 48000), flac_16));
    std::string streamed = bytes;
    streamed[21] = static_cast<char>(streamed[21] & 0xF0);
    streamed.replace(22, 4, 4, '\0');
    std::string tag("ID3\4\0\0\0\0\0\x14", 10);
    tag.append(20, '\0');
    CHECK(refusal_of(write_bytes(folder.file("b.flac"), streamed)).empty());
    CHECK(refusal_of(write_bytes(folder.file("b.flac"), tag + bytes)).empty());
    for (const std::string& other :
         {with_other_sum(streamed), tag + with_other_sum(bytes), with_other_sum(bytes)}) {
        const auto path = write_bytes(folder.file("b.flac"), other);
        CHECK(refusal_of(path).find(not_those) != std::string::npos);
        SoundFile file(path);
        std::vector<double> part(1000);
        CHECK(file.read(part) == 1000);
    }
}
