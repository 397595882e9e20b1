#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <memory>
#include <numbers>
#include <random>
#include <vector>

#include "earbudget/excitation/estimate.hpp"
#include "earbudget/excitation/waveform.hpp"
#include "support/pieces_in_memory.hpp"

namespace earbudget::test {

/// A damped oscillator that a gradient drives: P/G = A · i·r / (1 − r² + 2i·ζ·r), r = f / f0, which
/// comes so many seconds late.
struct Mode {
    double f0, damping, Pa_per_T_per_m;
};

struct SyntheticScanner {
    std::array<std::vector<Mode>, gradient_axes> modes;
    std::array<double, gradient_axes> late{};

    [[nodiscard]] std::complex<double> response(std::size_t axis, double f) const {
        std::complex<double> sum;
        for (const Mode& mode : modes[axis]) {
            const double r = f / mode.f0;
            sum += mode.Pa_per_T_per_m * std::complex(0.0, r) /
                   std::complex(1.0 - r * r, 2.0 * mode.damping * r);
        }
        return sum * std::polar(1.0, -2.0 * std::numbers::pi * f * late[axis]);
    }
};

/// Three axes with three resonances each, drawn: 350 to 2600 Hz, damped by 2 to 5 %.
inline SyntheticScanner drawn_scanner(std::mt19937& random) {
    const auto draw = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    SyntheticScanner scanner;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        for (const double f0 : {draw(350, 700), draw(800, 1400), draw(1500, 2600)})
            scanner.modes[axis].push_back({f0, draw(0.02, 0.05), draw(20, 80)});
        scanner.late[axis] = draw(0.001, 0.006);
    }
    return scanner;
}

/// Gradients at a time after the beginning, by walking through pieces.
class WaveformValues {
  public:
    explicit WaveformValues(WaveformSource& source) : source_(source), piece_(source.next()) {}
    /// Times rise from call to call.
    [[nodiscard]] AxisVector at(double time) {
        while (piece_ && (piece_->start + piece_->lasts).count() <= time)
            piece_ = source_.next();
        if (!piece_ || time < piece_->start.count()) return {};
        AxisVector value{};
        const double part = (time - piece_->start.count()) / piece_->lasts.count();
        for (std::size_t axis = 0; axis < gradient_axes; ++axis)
            value[axis] = piece_->from[axis] + part * (piece_->to[axis] - piece_->from[axis]);
        return value;
    }
    [[nodiscard]] bool ended() const { return !piece_; }

  private:
    WaveformSource& source_;
    std::optional<GradientPiece> piece_;
};

/// What a scanner's sound is recorded with.
struct SyntheticRecording {
    double rate = 48'000.0;
    double before = 1.0;  ///< seconds of room before the waveform
    double after = 0.5;   ///< and behind it
    double clock_ppm = 0.0;
    double noise_Pa = 0.0;  ///< root mean square, white
    double drift = 0.0;     ///< of the gain from beginning to end, as a ratio
};

/// Exact for gradients that run straight over half a sample: the state of each
/// oscillator, moved on by its own solution.
class Oscillator {
  public:
    Oscillator(const Mode& mode, double step) : mode_(mode) {
        const double w = 2.0 * std::numbers::pi * mode.f0;
        const std::complex<double> pole(-mode.damping * w,
                                        w * std::sqrt(1.0 - mode.damping * mode.damping));
        // P/G = A·w·s/(s² + 2ζws + w²) = Re-part pair with residue A·w·pole / (pole − conj pole).
        residue_ = mode.Pa_per_T_per_m * w * pole / (pole - std::conj(pole));
        turn_ = std::exp(pole * step);
        const auto ps = pole * step;
        constant_ = (turn_ - 1.0) / pole;
        ramp_ = (turn_ - 1.0 - ps) / (pole * ps);
    }
    [[nodiscard]] double move(double from, double to) {
        state_ = turn_ * state_ + constant_ * from + ramp_ * (to - from);
        return 2.0 * (residue_ * state_).real();
    }

  private:
    Mode mode_;
    std::complex<double> residue_, turn_, constant_, ramp_, state_;
};

inline std::vector<double> recorded_sound(const SyntheticScanner& scanner, WaveformSource& waveform,
                                          const SyntheticRecording& how, std::mt19937& random) {
    constexpr int fine = 2;
    waveform.rewind();
    double duration = 0.0;
    while (const auto piece = waveform.next())
        duration = (piece->start + piece->lasts).count();
    const double rate = how.rate * (1.0 + 1e-6 * how.clock_ppm);
    const auto count = static_cast<std::size_t>((how.before + duration + how.after) * rate);
    std::vector<double> sound(count, 0.0);
    std::normal_distribution<double> noise(0.0, 1.0);
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        std::vector<Oscillator> oscillators;
        for (const Mode& mode : scanner.modes[axis])
            oscillators.emplace_back(mode, 1.0 / (rate * fine));
        waveform.rewind();
        WaveformValues values(waveform);
        double before = 0.0;
        for (std::size_t n = 1; n < count * fine; ++n) {
            const double time =
                static_cast<double>(n) / (rate * fine) - how.before - scanner.late[axis];
            const double now = time < 0.0 ? 0.0 : values.at(time)[axis];
            double sum = 0.0;
            for (Oscillator& oscillator : oscillators)
                sum += oscillator.move(before, now);
            before = now;
            if (n % fine == 0) sound[n / fine] += sum;
        }
    }
    for (std::size_t n = 0; n < count; ++n) {
        const double part = static_cast<double>(n) / static_cast<double>(count);
        sound[n] = sound[n] * (1.0 + how.drift * (part - 0.5)) + how.noise_Pa * noise(random);
    }
    return sound;
}

/// A recording in memory, of one channel.
class SoundInMemory final : public SampleSource {
  public:
    SoundInMemory(std::shared_ptr<const std::vector<double>> samples, double rate)
        : samples_(std::move(samples)), rate_(rate) {}
    [[nodiscard]] Frequency sample_rate() const override { return rate_; }
    [[nodiscard]] std::size_t channels() const override { return 1; }
    [[nodiscard]] std::optional<Quantization> quantization() const override { return {}; }
    [[nodiscard]] std::size_t read(std::span<double> into) override {
        const std::size_t count = std::min(into.size(), samples_->size() - at_);
        std::copy_n(samples_->begin() + static_cast<std::ptrdiff_t>(at_), count, into.begin());
        at_ += count;
        return count;
    }

  private:
    std::shared_ptr<const std::vector<double>> samples_;
    Frequency rate_;
    std::size_t at_ = 0;
};

/// Trapezoids one after the other, on any axes; times in seconds, amplitudes in T/m.
class PulseTrain {
  public:
    /// Amplitude of each axis.
    void pulse(const AxisVector& amplitude, double ramp, double flat) {
        add({}, amplitude, ramp);
        if (flat > 0.0) add(amplitude, amplitude, flat);
        add(amplitude, {}, ramp);
    }
    void rest(double time) { add({}, {}, time); }
    [[nodiscard]] double seconds() const { return at_; }
    [[nodiscard]] std::vector<GradientPiece> pieces() const { return pieces_; }

  private:
    void add(const AxisVector& from, const AxisVector& to, double lasts) {
        pieces_.push_back({Seconds(at_), Seconds(lasts), from, to, true});
        at_ += lasts;
    }

    std::vector<GradientPiece> pieces_;
    double at_ = 0.0;
};

/// Single pulses at drawn intervals, each of some axes: broad in frequency, as a calibration is.
inline std::vector<GradientPiece> drawn_pulses(std::mt19937& random, double seconds,
                                               const std::array<bool, gradient_axes>& axes) {
    const auto draw = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    PulseTrain train;
    while (train.seconds() < seconds) {
        AxisVector amplitude{};
        for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
            if (axes[axis]) amplitude[axis] = draw(-0.03, 0.03);
        }
        train.pulse(amplitude, 0.0002, draw(0.00002, 0.0012));
        train.rest(draw(0.0005, 0.02));
    }
    return train.pieces();
}

/// Echo trains with a slice selection, phase steps and a pause, of drawn timing.
inline std::vector<GradientPiece> drawn_sequence(std::mt19937& random, double seconds) {
    const auto draw = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    const double flat = draw(0.0001, 0.0015);
    const double amplitude = draw(0.01, 0.03);
    const double step = draw(0.001, 0.004);
    const double pause = draw(0.002, 0.05);
    const int echoes = std::uniform_int_distribution<int>(1, 48)(random);
    PulseTrain train;
    while (train.seconds() < seconds) {
        train.pulse({0.0, 0.0, 0.02}, 0.0002, 0.002);
        train.rest(0.0005);
        for (int echo = 0; echo < echoes; ++echo) {
            train.pulse({echo % 2 == 0 ? amplitude : -amplitude, 0.0, 0.0}, 0.0002, flat);
            train.pulse({0.0, step, 0.0}, 0.00005, 0.0);
        }
        train.rest(pause);
    }
    return train.pieces();
}

/// What ran and what was recorded of it.
inline CalibrationPair pair_of(std::vector<GradientPiece> pieces, std::vector<double> sound,
                               double rate) {
    const auto kept = std::make_shared<const std::vector<GradientPiece>>(std::move(pieces));
    const auto samples = std::make_shared<const std::vector<double>>(std::move(sound));
    return {.open_waveform = [kept] { return std::make_unique<PiecesInMemory>(*kept); },
            .open_recording = [samples,
                               rate] { return std::make_unique<SoundInMemory>(samples, rate); }};
}

/// What ran of a scanner, recorded.
inline CalibrationPair recorded_pair(const SyntheticScanner& scanner,
                                     const std::vector<GradientPiece>& pieces,
                                     const SyntheticRecording& how, std::mt19937& random) {
    PiecesInMemory waveform(pieces);
    return pair_of(pieces, recorded_sound(scanner, waveform, how, random), how.rate);
}

}  // namespace earbudget::test
