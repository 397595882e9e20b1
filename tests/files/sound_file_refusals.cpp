#include <array>
#include <cmath>
#include <filesystem>
#include <limits>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;

namespace {

/// Opening or reading fails at FILE:1:1, in one line, with these words.
void check_refused(const std::string& path, const std::string& words) {
    try {
        (void)samples_of(path);
        FAIL_CHECK("accepted: " << path);
    } catch (const InputError& error) {
        const std::string message = error.what();
        CAPTURE(message);
        CHECK(message.rfind(path + ":1:1: ", 0) == 0);
        CHECK(message.find(words) != std::string::npos);
        CHECK(message.find("accepted: ") != std::string::npos);
        CHECK(message.find('\n') == std::string::npos);
    }
}

}  // namespace

TEST_CASE("A truncated sound file is refused, by however little") {
    const Folder folder;
    const std::vector<double> samples = white_noise(0.9, 0.5, 48000);
    std::size_t rows = 0;
    for (const SoundFormat& format : formats) {
        CAPTURE(format.name);
        const auto path = write_sound(folder.file(format.name), samples, format.format);
        const std::string bytes = bytes_of(path);
        for (const std::size_t missing : {bytes.size() / 2, std::size_t{10}}) {
            const auto cut = write_bytes(folder.file(std::string("cut-") + format.name),
                                         bytes.substr(0, bytes.size() - missing));
            check_refused(cut, "truncated");
            ++rows;
        }
    }
    CHECK(rows == 2 * formats.size());
}

TEST_CASE("A truncated Ogg file is refused") {
    const Folder folder;
    const auto path = write_sound(folder.file("a.ogg"), white_noise(0.5, 2.0, 48000),
                                  SF_FORMAT_OGG | SF_FORMAT_VORBIS);
    CHECK(samples_of(path).size() == 96000);
    const std::string bytes = bytes_of(path);
    check_refused(write_bytes(folder.file("cut.ogg"), bytes.substr(0, bytes.size() / 2)),
                  "truncated");
}

TEST_CASE("What cannot be measured is refused with the reason") {
    const Folder folder;
    check_refused(folder.file("missing.wav"), "no such file");
    std::filesystem::create_directory(folder.file("folder.wav"));
    check_refused(folder.file("folder.wav"), "a folder");
    check_refused(write_bytes(folder.file("empty.wav"), ""), "an empty file");
    check_refused(write_bytes(folder.file("text.wav"), "This is no sound.\n"), "not a sound file");
    check_refused(write_bytes(folder.file("head.wav"), "RIFF\x24\0\0\0WAVEfmt "), "sound file");
    check_refused(write_sound(folder.file("none.wav"), {}, wav_16), "no samples");
    check_refused(write_sound(folder.file("none.flac"), {}, SF_FORMAT_FLAC | SF_FORMAT_PCM_16),
                  "no");
    check_refused(write_sound(folder.file("slow.wav"), white_noise(0.1, 1, 100), wav_16, 1, 7999),
                  "sampled at 7999 Hz");
    check_refused(write_sound(folder.file("fast.wav"), white_noise(0.1, 1, 100), wav_16, 1, 192001),
                  "sampled at 192001 Hz");
}

TEST_CASE("A WAV file without samples but with a title is empty, not unfinished") {
    const Folder folder;
    std::string bytes = bytes_of(write_sound(folder.file("a.wav"), {}, wav_16));
    bytes += std::string("LIST\x0E\0\0\0INFOINAM\x02\0\0\0A\0", 22);
    check_refused(write_bytes(folder.file("titled.wav"), bytes), "no samples");
}

TEST_CASE("A sample that is no number is named") {
    const Folder folder;
    const std::array<double, 3> bad = {std::nan(""), std::numeric_limits<double>::infinity(),
                                       -std::numeric_limits<double>::infinity()};
    for (const double value : bad) {
        std::vector<double> samples(6000, 0.1);
        samples[2 * 2500 + 1] = value;
        const auto path = write_sound(folder.file("bad.wav"), samples, wav_float, 2);
        check_refused(path, "frame 2501, channel 2 is not a finite number");
    }
    check_refused(write_sound(folder.file("huge.wav"), {0.0, 1e30}, wav_float),
                  "frame 2, channel 1 is too large a number");
}
