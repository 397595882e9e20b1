#pragma once

#include <array>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <sndfile.h>
#include <unistd.h>

#include "files/sound_file.hpp"

namespace earbudget::test {

/// A folder of its own for one test, gone afterwards.
class Folder {
  public:
    Folder() {
        static int count = 0;
        path_ = std::filesystem::temp_directory_path() /
                ("earbudget-" + std::to_string(getpid()) + '-' + std::to_string(++count));
        std::filesystem::create_directory(path_);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() { std::filesystem::remove_all(path_); }

    [[nodiscard]] std::string file(const std::string& name) const { return path_ / name; }

  private:
    std::filesystem::path path_;
};

inline constexpr int wav_16 = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
inline constexpr int wav_float = SF_FORMAT_WAV | SF_FORMAT_FLOAT;

/// Writes interleaved samples and returns the path.
inline std::string write_sound(const std::string& path, const std::vector<double>& samples,
                               int format, int channels = 1, int rate = 48000) {
    SF_INFO info = {};
    info.samplerate = rate;
    info.channels = channels;
    info.format = format;
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    REQUIRE(file != nullptr);
    const auto frames = static_cast<sf_count_t>(samples.size()) / channels;
    REQUIRE(sf_writef_double(file, samples.data(), frames) == frames);
    sf_close(file);
    return path;
}

inline std::string bytes_of(const std::string& path) {
    std::ifstream stream(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

inline std::string write_bytes(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
    return path;
}

inline std::vector<double> samples_of(const std::string& path) {
    files::SoundFile file(path);
    std::vector<double> samples;
    std::vector<double> block(1000 * file.channels());
    while (const std::size_t frames = file.read(block)) {
        samples.insert(samples.end(), block.begin(),
                       block.begin() + static_cast<std::ptrdiff_t>(frames * file.channels()));
    }
    return samples;
}

/// What reading a file says; empty where it is read.
inline std::string refusal_of(const std::string& path) {
    try {
        static_cast<void>(samples_of(path));
        return "";
    } catch (const InputError& error) {
        return error.what();
    }
}

/// A format, what it may change in a sample, and its bits.
struct SoundFormat {
    const char* name;
    int format;
    double tolerance;
    int bits;  // 0: not an integer format
};

inline constexpr std::array<SoundFormat, 15> formats = {{
    {"8.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8, 0.02, 8},
    {"16.wav", wav_16, 1e-4, 16},
    {"24.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_24, 1e-6, 24},
    {"32.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_32, 1e-8, 24},
    {"float.wav", wav_float, 1e-7, 0},
    {"double.wav", SF_FORMAT_WAV | SF_FORMAT_DOUBLE, 1e-15, 0},
    {"24x.wav", SF_FORMAT_WAVEX | SF_FORMAT_PCM_24, 1e-6, 24},
    {"24.rf64", SF_FORMAT_RF64 | SF_FORMAT_PCM_24, 1e-6, 24},
    {"16.w64", SF_FORMAT_W64 | SF_FORMAT_PCM_16, 1e-4, 16},
    {"24.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_24, 1e-6, 24},
    {"float.aiff", SF_FORMAT_AIFF | SF_FORMAT_FLOAT, 1e-7, 0},
    {"16.au", SF_FORMAT_AU | SF_FORMAT_PCM_16, 1e-4, 16},
    {"24.caf", SF_FORMAT_CAF | SF_FORMAT_PCM_24, 1e-6, 24},
    {"16.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 1e-4, 16},
    {"24.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_24, 1e-6, 24},
}};

}  // namespace earbudget::test
