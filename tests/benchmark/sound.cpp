// Recordings for the benchmark, and the least that measuring one can cost.
// sound write FILE SECONDS CHANNELS RATE SEED writes pink-like noise with ten pulses a second, 24
// bits, WAV or FLAC by the ending of FILE; sound read FILE... reads them and sums the squares.
#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdio>
#include <memory>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include <sndfile.h>

namespace {

using File = std::unique_ptr<SNDFILE, decltype(&sf_close)>;

/// White noise through low-passes two octaves apart, each of the same power, falls about as pink.
class PinkLikeNoise {
  public:
    explicit PinkLikeNoise(unsigned long seed) : random_(static_cast<std::uint32_t>(seed)) {}

    double next() {
        const double white = static_cast<double>(random_()) * 0x1p-31 - 1.0;
        double sum = 0.0;
        double part = 1.0;
        double gain = 1.0;
        for (double& low_pass : low_passes_) {
            low_pass += part * (white - low_pass);
            sum += gain * low_pass;
            part *= 0.25;
            gain *= 2.0;
        }
        return sum;
    }

  private:
    std::mt19937 random_;
    std::array<double, 5> low_passes_{};
};

File opened(const char* path, int mode, SF_INFO& info) {
    return File(sf_open(path, mode, &info), &sf_close);
}

bool write_noise(const char* path, int seconds, SF_INFO info, unsigned long seed) {
    const bool flac = std::string_view(path).ends_with(".flac");
    info.format = (flac ? SF_FORMAT_FLAC : SF_FORMAT_WAV) | SF_FORMAT_PCM_24;
    const File file = opened(path, SFM_WRITE, info);
    if (!file) return false;
    PinkLikeNoise noise(seed);
    const int pulse_period = info.samplerate / 10;
    std::vector<double> second(static_cast<std::size_t>(info.samplerate * info.channels));
    for (int written = 0; written < seconds; ++written) {
        int sample = 0;
        for (double& value : second) {
            // Quiet noise, and loud for 10 ms in every 100 ms; far from clipping.
            const bool pulse = sample++ / info.channels % pulse_period < pulse_period / 10;
            value = (pulse ? 0.08 : 0.01) * noise.next();
        }
        if (sf_writef_double(file.get(), second.data(), info.samplerate) != info.samplerate)
            return false;
    }
    // What is still on its way to the disk would disturb the runs.
    sf_write_sync(file.get());
    return true;
}

bool sum_squares(const char* path) {
    SF_INFO info{};
    const File file = opened(path, SFM_READ, info);
    if (!file) return false;
    constexpr sf_count_t block_frames = 65536;
    const auto channels = static_cast<std::size_t>(info.channels);
    std::vector<double> block(static_cast<std::size_t>(block_frames) * channels);
    double sum = 0.0;
    while (const sf_count_t frames = sf_readf_double(file.get(), block.data(), block_frames)) {
        const std::size_t samples = static_cast<std::size_t>(frames) * channels;
        for (std::size_t n = 0; n < samples; ++n)
            sum += block[n] * block[n];
    }
    std::printf("%.17g\n", sum);
    return true;
}

}  // namespace

int main(int count, char** arguments) {
    const std::string_view command = count > 2 ? arguments[1] : "";
    bool done = false;
    if (command == "read") done = std::all_of(arguments + 2, arguments + count, sum_squares);
    if (command == "write" && count == 7) {
        SF_INFO info{};
        info.channels = std::stoi(arguments[4]);
        info.samplerate = std::stoi(arguments[5]);
        done = write_noise(arguments[2], std::stoi(arguments[3]), info, std::stoul(arguments[6]));
    }
    if (!done) std::fprintf(stderr, "sound: %s\n", sf_strerror(nullptr));
    return done ? 0 : 2;
}
