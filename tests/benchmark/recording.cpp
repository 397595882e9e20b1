#include "benchmark/recording.hpp"

#include <array>
#include <memory>
#include <random>
#include <stdexcept>
#include <vector>

#include <sndfile.h>

#include "benchmark/process.hpp"

namespace earbudget::benchmark {

namespace {

constexpr int sampling_rate = 48000;
constexpr int pulse_period = sampling_rate / 10;
constexpr int pulse_length = sampling_rate / 100;

// White noise through low-passes two octaves apart, each of the same power, falls about as pink.
class PinkLikeNoise {
  public:
    explicit PinkLikeNoise(std::uint32_t seed) : random_(seed) {}

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

// Quiet noise, and loud for 10 ms in every 100 ms; far from clipping.
double gain_at(std::int64_t frame) { return frame % pulse_period < pulse_length ? 0.08 : 0.01; }

}  // namespace

std::uintmax_t size_of(const Recording& recording) {
    constexpr int bytes_a_sample = 3;
    return static_cast<std::uintmax_t>(recording.seconds) * sampling_rate * bytes_a_sample *
           static_cast<std::uintmax_t>(recording.channels);
}

void write(const std::string& path, const Recording& recording) {
    SF_INFO info{};
    info.samplerate = sampling_rate;
    info.channels = recording.channels;
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_24;
    const std::unique_ptr<SNDFILE, decltype(&sf_close)> file(
        sf_open(path.c_str(), SFM_WRITE, &info), &sf_close);
    if (!file) throw std::runtime_error("cannot write " + path);

    PinkLikeNoise noise(recording.seed);
    std::vector<double> second(static_cast<std::size_t>(sampling_rate * recording.channels));
    for (int written = 0; written < recording.seconds; ++written) {
        throw_if_interrupted();
        std::int64_t sample = 0;
        for (double& value : second) {
            value = gain_at(sample++ / recording.channels) * noise.next();
        }
        if (sf_writef_double(file.get(), second.data(), sampling_rate) != sampling_rate) {
            throw std::runtime_error("cannot write all of " + path);
        }
    }
    // What is still on its way to the disk would disturb the runs.
    sf_write_sync(file.get());
}

}  // namespace earbudget::benchmark
