#include "files/sound_file.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "earbudget/measurement/meters/channel_reading.hpp"
#include "files/sound_files.hpp"
#include "measurement/signals.hpp"
#include "support/near.hpp"

using namespace earbudget;
using namespace earbudget::test;
using earbudget::files::SoundFile;

TEST_CASE("Sound files of many formats give back what was written") {
    const Folder folder;
    const std::vector<double> samples = white_noise(0.9, 0.5, 48000);
    std::size_t rows = 0;
    for (const SoundFormat& format : formats) {
        CAPTURE(format.name);
        const auto path = write_sound(folder.file(format.name), samples, format.format, 2, 44100);
        SoundFile file(path);
        CHECK(file.sample_rate() == Frequency(44100));
        CHECK(file.channels() == 2);
        REQUIRE(file.announced_duration().has_value());
        CHECK(
            near(file.announced_duration()->count(), 12000.0 / 44100.0, 1e-9, Because::Arithmetic));
        REQUIRE(file.quantization().has_value() == (format.bits > 0));
        if (format.bits > 0) {
            const double step = std::ldexp(1.0, 1 - format.bits);
            CHECK(near(file.quantization()->step, step, 0.0, Because::Arithmetic));
            CHECK(near(file.quantization()->largest_code, 1.0 - step, 0.0, Because::Arithmetic));
        }
        const auto read = samples_of(path);
        REQUIRE(read.size() == samples.size());
        double worst = 0.0;
        for (std::size_t n = 0; n < read.size(); ++n) {
            worst = std::max(worst, std::abs(read[n] - samples[n]));
        }
        CHECK(worst <= format.tolerance);
        ++rows;
    }
    CHECK(rows == formats.size());
}

TEST_CASE("A recorder that streams does not know the length, and is read to the end") {
    const Folder folder;
    const std::vector<double> samples = sine(1000, 0.5, 0.1, 48000);
    const std::string bytes = bytes_of(write_sound(folder.file("a.wav"), samples, wav_16));
    const std::size_t size_field = bytes.find("data") + 4;
    std::size_t rows = 0;
    for (const std::string& size :
         {std::string(4, '\0'), std::string(4, '\xFF'), std::string("\x00\xF0\xFF\x7F", 4)}) {
        for (const bool riff_too : {false, true}) {
            std::string streamed = bytes;
            streamed.replace(size_field, 4, size);
            if (riff_too) streamed.replace(4, 4, size);
            const auto read = samples_of(write_bytes(folder.file("s.wav"), streamed));
            REQUIRE(read.size() == samples.size());
            CHECK(near(read[100], samples[100], 1e-4, Because::Arithmetic));
            CHECK(near(read.back(), samples.back(), 1e-4, Because::Arithmetic));
            ++rows;
        }
    }
    CHECK(rows == 6);

    std::string flac =
        bytes_of(write_sound(folder.file("a.flac"), samples, SF_FORMAT_FLAC | SF_FORMAT_PCM_16));
    flac[21] = static_cast<char>(static_cast<unsigned char>(flac[21]) & 0xF0U);
    flac.replace(22, 4, std::string(4, '\0'));  // total samples in STREAMINFO: unknown
    const auto path = write_bytes(folder.file("s.flac"), flac);
    CHECK(!SoundFile(path).announced_duration().has_value());
    CHECK(samples_of(path).size() == samples.size());
}

TEST_CASE("Clipping is found in files of 16, 24 and 32 bits and floating point") {
    const Folder folder;
    Signal clipped = sine(100, 2.0, 2.5, 48000);
    for (double& x : clipped)
        x = std::clamp(x, -1.0, 1.0);
    Signal clean = sine(100, 0.99, 2.5, 48000);
    std::size_t rows = 0;
    for (const SoundFormat& format : formats) {
        CAPTURE(format.name);
        SoundFile loud(write_sound(folder.file(format.name), clipped, format.format));
        CHECK(read_channels(loud).front().clipping.stretches == 500);
        SoundFile soft(write_sound(folder.file(format.name), clean, format.format));
        CHECK(read_channels(soft).front().clipping.stretches == 0);
        ++rows;
    }
    CHECK(rows == formats.size());
}

TEST_CASE("A file's channels are those that were recorded") {
    const Folder folder;
    const Signal left = sine(1000, 0.5, 2.0, 48000);
    const Signal right = sine(1000, 0.25, 2.0, 48000);
    std::vector<double> both;
    for (std::size_t n = 0; n < left.size(); ++n) {
        both.push_back(left[n]);
        both.push_back(right[n]);
    }
    SoundFile file(write_sound(folder.file("a.wav"), both, wav_float, 2));
    const auto readings = read_channels(file);
    REQUIRE(readings.size() == 2);
    CHECK(near((*readings[0].A - *readings[1].A).dB(), 20.0 * std::log10(2.0), 1e-6,
               Because::Arithmetic));
    CHECK(near(readings[0].A->dB(), -6.02, 0.005, Because::PrintedRounding));
}
