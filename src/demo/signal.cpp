#include "demo/signal.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace earbudget::demo {

namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;

double time_of(std::size_t sample) { return static_cast<double>(sample) / sample_rate.Hz(); }

// Uniform on [−1, 1), the same on every machine: a linear congruential generator, Knuth's MMIX
// constants, upper 53 bits.
class Noise {
  public:
    explicit Noise(std::uint64_t seed) : state_(seed) {}
    double next() {
        state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return static_cast<double>(state_ >> 11U) * 0x1.0p-52 - 1.0;
    }

  private:
    std::uint64_t state_;
};

// Rises and falls over `edge` of the whole at each end, both 0 to 1.
double smooth_envelope(double position, double edge) {
    const double from_end = std::min(position, 1.0 - position);
    if (from_end >= edge) return 1.0;
    return 0.5 - 0.5 * std::cos(std::numbers::pi * from_end / edge);
}

double harmonic_tone(const PulseTrain& train, double time) {
    double sum = 0.0;
    for (std::size_t k = 0; k < train.harmonics.size(); ++k) {
        const double frequency = static_cast<double>(k + 1) * train.fundamental.Hz();
        // Phases spread so that the crests of the harmonics do not all meet.
        sum += train.harmonics[k] *
               std::sin(two_pi * frequency * time + 2.4 * static_cast<double>(k * k));
    }
    return sum;
}

}  // namespace

Signal silence(Seconds time) {
    return Signal(static_cast<std::size_t>(time.count() * sample_rate.Hz()), 0.0);
}

void add(Signal& a, const Signal& b) {
    for (std::size_t i = 0; i < a.size(); ++i)
        a[i] += b[i];
}

void scale_to(Signal& signal, LevelZ level) {
    double energy = 0.0;
    for (const double x : signal)
        energy += x * x;
    const double mean_square = energy / static_cast<double>(signal.size());
    const double wanted = 0.5 * energy_ratio(level - full_scale_level);
    const double factor = std::sqrt(wanted / mean_square);
    for (double& x : signal)
        x *= factor;
}

Signal tone(Frequency frequency, Seconds time) {
    Signal signal = silence(time);
    for (std::size_t i = 0; i < signal.size(); ++i) {
        signal[i] = std::sin(two_pi * frequency.Hz() * time_of(i));
    }
    return signal;
}

Signal room_noise(Seconds time, std::uint64_t seed) {
    constexpr double corner_Hz = 250.0;
    const double smoothing = 1.0 - std::exp(-two_pi * corner_Hz / sample_rate.Hz());
    Noise noise(seed);
    Signal signal = silence(time);
    double state = 0.0;
    for (double& x : signal) {
        state += smoothing * (noise.next() - state);
        x = state;
    }
    return signal;
}

Signal pump(Seconds time) {
    constexpr double strokes_per_second = 1.9;
    constexpr double decay_seconds = 0.06;
    Signal signal = silence(time);
    for (std::size_t i = 0; i < signal.size(); ++i) {
        const double since_stroke = std::fmod(time_of(i), 1.0 / strokes_per_second);
        // From 420 Hz down to 180 Hz while it dies away.
        const double phase =
            two_pi * (180.0 * since_stroke -
                      240.0 * decay_seconds * std::expm1(-since_stroke / decay_seconds));
        const double attack = -std::expm1(-since_stroke / 0.004);
        signal[i] = attack * std::exp(-since_stroke / decay_seconds) * std::sin(phase);
    }
    return signal;
}

Signal pulse_train(const PulseTrain& train, Seconds time) {
    constexpr double edge = 0.08;
    constexpr double click_decay_seconds = 0.0015;
    constexpr double click_Hz = 1900.0;
    Signal signal = silence(time);
    for (std::size_t i = 0; i < signal.size(); ++i) {
        const double periods = time_of(i) / train.period.count();
        const auto pulse = static_cast<std::uint64_t>(periods);
        if (pulse % (train.pulses_per_volume + 1) == train.pulses_per_volume) continue;
        const double position = (periods - std::floor(periods)) / train.duty;
        const double since_start = position * train.duty * train.period.count();
        if (position < 1.0) {
            signal[i] += smooth_envelope(position, edge) * harmonic_tone(train, time_of(i));
        }
        signal[i] += train.click * std::exp(-since_start / click_decay_seconds) *
                     std::sin(two_pi * click_Hz * since_start);
    }
    return signal;
}

}  // namespace earbudget::demo
