// Damage in compressed files: what is told of it, and that nothing else is.
#include <array>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using earbudget::files::SoundFile;

namespace {

constexpr int mp3 = SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III;

std::vector<double> sound() { return white_noise(0.2, 2.0, 48000); }

/// Every way in turn: a bit, a byte, many bytes, zeros, some lost, some too many, an end.
std::string damaged(std::string bytes, unsigned how) {
    std::mt19937 random(how);
    const auto at = std::uniform_int_distribution<std::size_t>(0, bytes.size() - 600)(random);
    const auto noise = [&](std::size_t size) {
        std::string text(size, '\0');
        for (char& byte : text)
            byte = static_cast<char>(random());
        return text;
    };
    switch (how % 7) {
        case 0:
            bytes[at] = static_cast<char>(bytes[at] ^ 1 << random() % 8);
            return bytes;
        case 1:
            bytes[at] = static_cast<char>(~bytes[at]);
            return bytes;
        case 2:
            return bytes.replace(at, 200, noise(200));
        case 3:
            return bytes.replace(at, 500, std::string(500, '\0'));
        case 4:
            return bytes.erase(at, 1 + random() % 500);
        case 5:
            return bytes.insert(at, noise(1 + random() % 500));
        default:
            return bytes.substr(0, at + 1);
    }
}

/// Of so many damaged copies, those that are refused.
unsigned refused(const Folder& folder, const std::string& bytes, unsigned copies) {
    unsigned count = 0;
    for (unsigned how = 0; how < copies; ++how) {
        const auto path = write_bytes(folder.file("damaged"), damaged(bytes, how));
        const std::string why = refusal_of(path);
        CAPTURE(how);
        if (why.empty()) continue;
        CHECK(why.find("accepted: ") != std::string::npos);
        ++count;
    }
    return count;
}

/// Without the frame that has the tag, as encoders write that cannot go back.
std::string without_first_frame(const std::string& bytes) {
    const std::size_t next = bytes.find(bytes.substr(0, 2), 200);
    REQUIRE(next != std::string::npos);
    return bytes.substr(next);
}

std::string with_quality(const std::string& path, double quality, int rate = 48000) {
    SF_INFO info = {};
    info.samplerate = rate;
    info.channels = 1;
    info.format = mp3;
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    REQUIRE(file != nullptr);
    int mode = SF_BITRATE_MODE_CONSTANT;
    sf_command(file, SFC_SET_BITRATE_MODE, &mode, sizeof mode);
    sf_command(file, SFC_SET_COMPRESSION_LEVEL, &quality, sizeof quality);
    const auto samples = sound();
    sf_writef_double(file, samples.data(), static_cast<sf_count_t>(samples.size()));
    sf_close(file);
    return path;
}

}  // namespace

TEST_CASE("damage in formats with checksums is told, whatever it is") {
    struct Row {
        const char* name;
        int format;
    };
    const Folder folder;
    constexpr unsigned copies = 42;
    std::size_t rows = 0;
    for (const Row& row : {Row{"a.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS},
                           Row{"o.ogg", SF_FORMAT_OGG | SF_FORMAT_OPUS}, Row{"a.mp3", mp3}}) {
        CAPTURE(row.name);
        const auto path = write_sound(folder.file(row.name), sound(), row.format);
        CHECK(refusal_of(path).empty());
        CHECK(refused(folder, bytes_of(path), copies) == copies);
        ++rows;
    }
    CHECK(rows == 3);
}

TEST_CASE("a damaged FLAC file is refused, or gives back what was written") {
    const Folder folder;
    const auto path =
        write_sound(folder.file("a.flac"), sound(), SF_FORMAT_FLAC | SF_FORMAT_PCM_24);
    const std::string bytes = bytes_of(path);
    const std::vector<double> written = samples_of(path);
    unsigned count = 0;
    for (unsigned how = 0; how < 42; ++how) {
        CAPTURE(how);
        const auto hurt = write_bytes(folder.file("damaged.flac"), damaged(bytes, how));
        if (refusal_of(hurt).empty()) {
            CHECK(samples_of(hurt) == written);
        } else {
            ++count;
        }
    }
    CHECK(count >= 40);
    // The decoder forgets what it met at the next call: in the middle of many.
    std::string middle = bytes;
    middle[bytes.size() / 2] = static_cast<char>(middle[bytes.size() / 2] ^ 4);
    const std::string why = refusal_of(write_bytes(folder.file("bit.flac"), middle));
    CHECK(why.find("damaged") != std::string::npos);
}

TEST_CASE("every bit of a FLAC header that changes a level is missed by none") {
    const Folder folder;
    const auto path =
        write_sound(folder.file("a.flac"), sound(), SF_FORMAT_FLAC | SF_FORMAT_PCM_16);
    const std::string bytes = bytes_of(path);
    const std::size_t samples = samples_of(path).size();
    unsigned told = 0;
    // Sampling, channels and length; behind them the sum.
    for (std::size_t at = 18; at < 26; ++at) {
        for (int bit = 0; bit < 8; ++bit) {
            CAPTURE(at);
            CAPTURE(bit);
            std::string hurt = bytes;
            hurt[at] = static_cast<char>(hurt[at] ^ 1 << bit);
            const auto changed = write_bytes(folder.file("h.flac"), hurt);
            const std::string why = refusal_of(changed);
            if (!why.empty() || !is_whole(SoundFile(changed).state(), false)) {
                ++told;
                continue;
            }
            CHECK(SoundFile(changed).sample_rate() == Frequency(48000));
            CHECK(samples_of(changed).size() == samples);
        }
    }
    CHECK(told >= 56);
    std::string shorter = bytes;
    shorter[24] = static_cast<char>(shorter[24] & 0x0F);
    const auto state = SoundFile(write_bytes(folder.file("s.flac"), shorter)).state();
    REQUIRE(state.time_beyond_header.has_value());
    // 96000 samples of which 67328 are announced.
    CHECK(near(state.time_beyond_header->count(), 28672.0 / 48000.0, 1e-9, Because::Arithmetic));
}

TEST_CASE("MPEG frames without any checksum tell what does not fit together") {
    const Folder folder;
    const auto path = with_quality(folder.file("a.mp3"), 0.5);
    const std::string bare = without_first_frame(bytes_of(path));
    const auto whole = write_bytes(folder.file("bare.mp3"), bare);
    CHECK(refusal_of(whole).empty());
    CHECK(SoundFile(whole).state().bytes_beyond_header == 0);
    const unsigned count = refused(folder, bare, 70);
    MESSAGE("told: " << count << " of 70");
    CHECK(count >= 40);
    // Every cut, loss and insertion is told; what stays is bytes changed inside frames.
    for (const unsigned how : {4U, 5U, 6U, 11U, 12U, 13U, 18U, 19U, 20U}) {
        CAPTURE(how);
        CHECK(!refusal_of(write_bytes(folder.file("d.mp3"), damaged(bare, how))).empty());
    }
}

TEST_CASE("tags around MPEG frames are passed over") {
    const Folder folder;
    const std::string bytes = bytes_of(write_sound(folder.file("a.mp3"), sound(), mp3));
    const std::size_t samples = samples_of(folder.file("a.mp3")).size();
    std::string id3("ID3\4\0\0\0\0\0\x14", 10);
    id3.append(20, 'x');
    const std::string ape = "APETAGEX" +
                            std::string("\xD0\x07\0\0\x20\0\0\0\0\0\0\0\0\0\0\xA0", 16) +
                            std::string(8, '\0');
    const std::string ape_foot = "APETAGEX" +
                                 std::string("\xD0\x07\0\0\x20\0\0\0\0\0\0\0\0\0\0\x80", 16) +
                                 std::string(8, '\0');
    const std::string old_tag = "TAG" + std::string(125, ' ');
    std::size_t rows = 0;
    for (const std::string& file :
         {id3 + bytes, bytes + old_tag, bytes + ape + ape_foot + old_tag, bytes + id3,
          bytes + "LYRICSBEGININD0000200000015LYRICS200" + old_tag,
          bytes + std::string(999, '\0')}) {
        const auto path = write_bytes(folder.file("t.mp3"), file);
        CHECK(refusal_of(path).empty());
        CHECK(samples_of(path).size() == samples);
        ++rows;
    }
    CHECK(rows == 6);
    CHECK(!refusal_of(write_bytes(folder.file("t.mp3"), bytes + "no tag at all")).empty());
}

TEST_CASE("MPEG sound of varying bit rate without a tag is not measured in part unasked") {
    const Folder folder;
    const std::string bytes = bytes_of(write_sound(folder.file("a.mp3"), sound(), mp3));
    const auto path = write_bytes(folder.file("bare.mp3"), without_first_frame(bytes));
    SoundFile file(path);
    // Its decoder guesses the length from the first frame, here too short.
    REQUIRE(file.announced_duration().has_value());
    CHECK(file.announced_duration()->count() < 1.9);
    CHECK(!is_whole(file.state(), false));
    CHECK(file.state().time_beyond_header.value_or(Seconds(0.0)) + *file.announced_duration() >
          Seconds(1.99));
}

TEST_CASE("MPEG sound of constant bit rate without a tag is read to its last frame") {
    const Folder folder;
    const std::string bytes = bytes_of(with_quality(folder.file("a.mp3"), 0.5, 22050));
    std::size_t rows = 0;
    bool guessed_too_long = false;
    // The decoder guesses the length from the file's, and the more there is behind the frames.
    for (const std::size_t zeros : {0U, 100U, 1000U, 5000U}) {
        CAPTURE(zeros);
        const auto path = write_bytes(folder.file("bare.mp3"),
                                      without_first_frame(bytes) + std::string(zeros, '\0'));
        CHECK(refusal_of(path).empty());
        CHECK(samples_of(path).size() % 576 == 0);
        CHECK(SoundFile(path).state().bytes_beyond_header == 0);
        const double announced = SoundFile(path).announced_duration().value().count() * 22050.0;
        CHECK(near(announced, static_cast<double>(samples_of(path).size()), 0.5,
                   Because::Arithmetic));
        SF_INFO info = {};
        SNDFILE* plain = sf_open(path.c_str(), SFM_READ, &info);
        REQUIRE(plain != nullptr);
        sf_close(plain);
        guessed_too_long = guessed_too_long || info.frames > static_cast<sf_count_t>(announced);
        ++rows;
    }
    CHECK(rows == 4);
    CHECK(guessed_too_long);
}

TEST_CASE("what is cut off at its start is no sound file, in our own words") {
    const Folder folder;
    std::size_t rows = 0;
    for (const std::string& bytes :
         {std::string("\xFF\xFB\x90"), std::string("\xFF\xFB\x90\x44"), std::string("ID3"),
          std::string("fLaC"), std::string("OggS"), std::string("RIFF"), std::string("\xFF\xFB"),
          std::string("FORM"), std::string(".snd"), std::string("\xFF")}) {
        const std::string why = refusal_of(write_bytes(folder.file("cut.mp3"), bytes));
        CAPTURE(why);
        CHECK(why.find("accepted: a whole sound file") != std::string::npos);
        CHECK(why.find("System error") == std::string::npos);
        CHECK(why.find("nternal") == std::string::npos);
        ++rows;
    }
    CHECK(rows == 10);
    const std::string three = refusal_of(write_bytes(folder.file("cut.mp3"), "\xFF\xFB\x90"));
    CHECK(three.find("not a sound file, or one cut off at its start") != std::string::npos);
}
