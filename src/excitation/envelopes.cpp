#include "excitation/envelopes.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <complex>
#include <new>

#include <kissfft/kiss_fftr.h>

#include "earbudget/measurement/spectrum/power_transform.hpp"

namespace earbudget {

namespace {

constexpr double frame_seconds = 0.004;
constexpr double rumble_Hz = 100.0;  // below, pumps and doors are louder than what is sought

using Course = std::vector<float>;

std::size_t frame_for(double rate) { return static_cast<std::size_t>(frame_seconds * rate); }

/// Energy a frame, without what is low: a filter of first order.
class EnergyCourse {
  public:
    EnergyCourse(double rate, std::size_t frame)
        : pole_(std::exp(-2.0 * std::numbers::pi * rumble_Hz / rate)), frame_(frame) {}

    void add(std::span<const float> samples) {
        for (const float sample : samples) {
            const auto x = static_cast<double>(sample);
            low_ = pole_ * low_ + (1.0 - pole_) * x;
            energy_ += (x - low_) * (x - low_);
            if (++count_ < frame_) continue;
            course_.push_back(static_cast<float>(energy_));
            energy_ = 0.0;
            count_ = 0;
        }
    }
    [[nodiscard]] const Course& course() const { return course_; }

  private:
    double pole_, low_ = 0.0, energy_ = 0.0;
    std::size_t frame_, count_ = 0;
    Course course_;
};

Course course_of_sound(const CalibrationPair& pair, double rate) {
    PressureReader reader(pair);
    EnergyCourse course(rate, frame_for(rate));
    std::vector<float> block(8192);
    const auto most = static_cast<std::size_t>(longest_part * rate);
    for (std::size_t n = 0; n < most;) {
        const std::size_t got = reader.read(block);
        if (got == 0) break;
        course.add(std::span(block).first(got));
        n += got;
    }
    return course.course();
}

/// Of each axis, then of all.
std::array<Course, gradient_axes + 1> courses_of_drive(const CalibrationPair& pair, double rate) {
    const auto waveform = pair.open_waveform();
    DriveSampler sampler(*waveform, Seconds(0.0), Seconds(1.0 / rate));
    std::vector<EnergyCourse> axes(gradient_axes, EnergyCourse(rate, frame_for(rate)));
    std::array<std::vector<float>, gradient_axes> blocks;
    std::array<std::span<float>, gradient_axes> spans;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        blocks[axis].resize(8192);
        spans[axis] = blocks[axis];
    }
    const auto most = static_cast<std::size_t>(longest_part * rate);
    for (std::size_t n = 0; n < most && !sampler.has_ended(); n += 8192) {
        sampler.read(spans);
        for (std::size_t axis = 0; axis < gradient_axes; ++axis)
            axes[axis].add(blocks[axis]);
    }
    std::array<Course, gradient_axes + 1> courses;
    for (std::size_t axis = 0; axis < gradient_axes; ++axis) {
        courses[axis] = axes[axis].course();
        courses.back().resize(courses[axis].size(), 0.0F);
        for (std::size_t n = 0; n < courses[axis].size(); ++n)
            courses.back()[n] += courses[axis][n];
    }
    return courses;
}

/// The lag, in frames, at which the sound's course fits the drive's best; none for a silent drive.
std::optional<double> best_lag(const Course& sound, const Course& drive) {
    if (drive.empty() || *std::ranges::max_element(drive) <= 0.0F) return std::nullopt;
    const std::size_t length = std::bit_ceil(sound.size() + drive.size());
    double mean = 0.0;
    for (const float value : sound)
        mean += static_cast<double>(value) / static_cast<double>(sound.size());
    Course a(length, 0.0F);
    Course b(length, 0.0F);
    std::ranges::transform(sound, a.begin(), [&](float value) {
        return static_cast<float>((static_cast<double>(value) - mean) / mean);
    });
    const float largest = *std::ranges::max_element(drive);
    std::ranges::transform(drive, b.begin(), [&](float value) { return value / largest; });
    RealFft transform(length);
    const auto of_sound = transform(a);
    std::vector<std::complex<float>> lines(of_sound.begin(), of_sound.end());
    const auto of_drive = transform(b);
    for (std::size_t k = 0; k < lines.size(); ++k)
        lines[k] *= std::conj(of_drive[k]);
    const auto correlation = to_time(lines);
    // Of the drive, only what lies in the recording counts: by its energy there.
    std::vector<double> sums(drive.size() + 1, 0.0);
    for (std::size_t n = 0; n < drive.size(); ++n) {
        const auto value = static_cast<double>(b[n]);
        sums[n + 1] = sums[n] + value * value;
    }
    const auto size = static_cast<std::ptrdiff_t>(sound.size());
    const auto driven = static_cast<std::ptrdiff_t>(drive.size());
    double best = 0.0;
    std::optional<double> lag;
    for (std::ptrdiff_t n = -driven / 2; n < size - std::min(size, driven) / 2; ++n) {
        const std::ptrdiff_t begin = std::clamp<std::ptrdiff_t>(-n, 0, driven);
        const std::ptrdiff_t end = std::clamp<std::ptrdiff_t>(size - n, 0, driven);
        const double energy =
            sums[static_cast<std::size_t>(end)] - sums[static_cast<std::size_t>(begin)];
        if (energy <= 0.1 * sums.back()) continue;
        const auto at =
            static_cast<std::size_t>(n < 0 ? n + static_cast<std::ptrdiff_t>(length) : n);
        const double score = static_cast<double>(correlation[at]) / std::sqrt(energy);
        if (lag && score <= best) continue;
        best = score;
        lag = static_cast<double>(n);
    }
    return lag;
}

}  // namespace

std::vector<float> to_time(const std::vector<std::complex<float>>& lines) {
    static_assert(sizeof(kiss_fft_cpx) == sizeof(std::complex<float>));
    std::vector<float> result(2 * (lines.size() - 1));
    const std::unique_ptr<void, void (*)(void*)> configuration(
        kiss_fftr_alloc(static_cast<int>(result.size()), 1, nullptr, nullptr),
        [](void* taken) { kiss_fftr_free(taken); });
    if (!configuration) throw std::bad_alloc();
    // std::complex<float> may be accessed as two floats, and so laid out as kiss_fft_cpx is.
    kiss_fftri(static_cast<kiss_fftr_cfg>(configuration.get()),
               reinterpret_cast<const kiss_fft_cpx*>(lines.data()), result.data());
    return result;
}

std::vector<double> likely_starts(const CalibrationPair& pair) {
    const double rate = PressureReader(pair).rate();
    const Course sound = course_of_sound(pair, rate);
    if (sound.empty() || *std::ranges::max_element(sound) <= 0.0F) throw UnusableRecording::NoSound;
    const auto drives = courses_of_drive(pair, rate);
    std::vector<double> starts;
    for (std::size_t n = drives.size(); n-- > 0;) {
        const auto lag = best_lag(sound, drives[n]);
        if (!lag) continue;
        const double start = *lag * static_cast<double>(frame_for(rate));
        const bool known = std::ranges::any_of(
            starts, [&](double other) { return std::abs(other - start) < 0.03 * rate; });
        if (!known) starts.push_back(start);
    }
    return starts;
}

}  // namespace earbudget
