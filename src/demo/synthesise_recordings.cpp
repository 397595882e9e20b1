// Writes the demo's recordings: the invented Saltmarsh Imaging Unit, nobody's scanner.
//
// Usage: synthesise_recordings FOLDER
//        synthesise_recordings --waveforms FOLDER
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <sndfile.h>

#include "demo/response.hpp"
#include "demo/signal.hpp"
#include "demo/waveform.hpp"

namespace {

using namespace earbudget;
using namespace earbudget::demo;

constexpr Seconds recording_time{10.0};
constexpr LevelZ room_level{66.0};
constexpr LevelZ pump_level{71.0};

struct InventedSequence {
    std::string id;
    PulseTrain train;
    LevelZ level;  // unweighted, of the train alone
};

std::vector<InventedSequence> sequences() {
    return {
        {"localiser",
         {Frequency(410), {1.0, 0.5, 0.3, 0.2}, Seconds(0.0081), 0.7, 90, 0.4},
         LevelZ(101)},
        {"gre-3d",
         {Frequency(520), {0.8, 1.0, 0.4, 0.3, 0.1}, Seconds(0.0072), 0.85, 400, 0.5},
         LevelZ(107)},
        {"epi-2mm",
         {Frequency(560), {1.0, 0.25, 0.55, 0.1, 0.2}, Seconds(0.062), 0.88, 32, 0.3},
         LevelZ(116)},
        {"epi-fast",
         {Frequency(980), {1.0, 0.2, 0.5, 0.1, 0.2}, Seconds(0.048), 0.92, 15, 0.3},
         LevelZ(118)},
        {"diffusion",
         {Frequency(630), {1.0, 0.3, 0.4, 0.1}, Seconds(0.094), 0.62, 48, 1.2},
         LevelZ(114.5)},
        {"spin-echo",
         {Frequency(300), {1.0, 0.6, 0.3, 0.1}, Seconds(0.041), 0.35, 24, 0.9},
         LevelZ(99)},
    };
}

Signal background(std::uint64_t seed) {
    Signal room = room_noise(recording_time, seed);
    scale_to(room, room_level);
    Signal strokes = pump(recording_time);
    scale_to(strokes, pump_level);
    add(room, strokes);
    return room;
}

Signal calibrator() {
    Signal signal = tone(Frequency(1000.0), Seconds(6.0));
    scale_to(signal, LevelZ(114.0));
    Signal room = room_noise(Seconds(6.0), 7);
    scale_to(room, LevelZ(60.0));
    add(signal, room);
    return signal;
}

Signal recording_of(const InventedSequence& sequence, std::uint64_t seed) {
    Signal signal = pulse_train(sequence.train, recording_time);
    scale_to(signal, sequence.level);
    add(signal, background(seed));
    return signal;
}

void write_flac(const std::filesystem::path& path, const Signal& signal) {
    SF_INFO info{};
    info.samplerate = static_cast<int>(sample_rate.Hz());
    info.channels = 1;
    info.format = SF_FORMAT_FLAC | SF_FORMAT_PCM_16;
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    if (!file) throw std::runtime_error(fmt::format("cannot write \"{}\"", path.string()));
    double highest_compression = 1.0;
    sf_command(file, SFC_SET_COMPRESSION_LEVEL, &highest_compression, sizeof highest_compression);
    const auto size = static_cast<sf_count_t>(signal.size());
    const sf_count_t written = sf_write_double(file, signal.data(), size);
    if (sf_close(file) != 0 || written != size) {
        throw std::runtime_error(fmt::format("cannot write \"{}\"", path.string()));
    }
}

void synthesise(const std::filesystem::path& folder) {
    write_flac(folder / "calibrator.flac", calibrator());
    write_flac(folder / "background.flac", background(1));
    std::uint64_t seed = 2;
    for (const InventedSequence& sequence : sequences()) {
        write_flac(folder / (sequence.id + ".flac"), recording_of(sequence, seed++));
    }
}

void write_text(const std::filesystem::path& path, const std::string& text) {
    std::ofstream file(path, std::ios::binary);
    file << text;
    file.close();
    if (!file) throw std::runtime_error(fmt::format("cannot write \"{}\"", path.string()));
}

void write_waveforms(const std::filesystem::path& folder) {
    write_text(folder / "epi-2mm.seq", epi_waveform());
    write_text(folder / "response.toml", scanner_response());
}

}  // namespace

int main(int count, char** arguments) {
    const bool of_waveforms = count == 3 && std::string(arguments[1]) == "--waveforms";
    if (count != 2 && !of_waveforms) {
        std::fprintf(stderr, "usage: synthesise_recordings [--waveforms] FOLDER\n");
        return 2;
    }
    try {
        if (of_waveforms) {
            write_waveforms(arguments[2]);
        } else {
            synthesise(arguments[1]);
        }
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "synthesise_recordings: %s\n", error.what());
        return 3;
    }
}
