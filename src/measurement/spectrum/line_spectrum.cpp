#include "measurement/spectrum/line_spectrum.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>
#include <numeric>
#include <span>
#include <vector>

#include "earbudget/measurement/spectrum/power_transform.hpp"
#include "earbudget/measurement/spectrum/tones.hpp"

namespace earbudget {

namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr std::size_t oversampling = 8;
constexpr std::size_t most_lines = 4;
// In units of 1 / length: half a line's width under a Hann window, what is left beside it, and how
// much of the spectrum on each side tells the noise.
constexpr double half_line = 2.0;
constexpr double beside_line = 2.5;
constexpr double noise_values = 12.0;
constexpr double noise_Hz = 0.4;  // where that is more

double hann(std::size_t n, std::size_t count) {
    const double place = (static_cast<double>(n) + 0.5) / static_cast<double>(count);
    return 0.5 - 0.5 * std::cos(two_pi * place);
}

std::vector<double> taper(std::span<const double> series) {
    const double mean =
        std::accumulate(series.begin(), series.end(), 0.0) / static_cast<double>(series.size());
    std::vector<double> tapered(series.begin(), series.end());
    for (std::size_t n = 0; n < tapered.size(); ++n)
        tapered[n] = (tapered[n] - mean) * hann(n, tapered.size());
    return tapered;
}

std::vector<double> power_spectrum(std::span<const double> tapered) {
    std::vector<float> padded(std::bit_ceil(oversampling * tapered.size()), 0.0F);
    std::transform(tapered.begin(), tapered.end(), padded.begin(),
                   [](double x) { return static_cast<float>(x); });
    RealFft transform(padded.size());
    std::vector<double> power;
    for (const std::complex<float> x : transform(padded))
        power.push_back(static_cast<double>(std::norm(x)));
    return power;
}

/// −ln of the probability that the sum of `count` exponential variables of mean 1 exceeds `sum`.
double gamma_unlikelihood(double sum, std::size_t count) {
    double term = 1.0;
    double series = 1.0;
    for (std::size_t k = 1; k < count; ++k) {
        term *= sum / static_cast<double>(k);
        series += term;
    }
    return sum - std::log(series);
}

}  // namespace

LineSpectrum::LineSpectrum(std::span<const double> series, double step)
    : step_(step),
      length_(step * static_cast<double>(series.size())),
      highest_(0.45 / step),
      spacing_(0.0),
      tapered_(taper(series)),
      power_(power_spectrum(tapered_)),
      sums_(power_.size() + 1, 0.0) {
    spacing_ = 0.5 / step / static_cast<double>(power_.size() - 1);
    std::partial_sum(power_.begin(), power_.end(), sums_.begin() + 1);
}

std::size_t LineSpectrum::index(double hertz) const {
    const double place = std::round(std::max(hertz, 0.0) / spacing_);
    return std::min(static_cast<std::size_t>(place), power_.size() - 1);
}

std::size_t LineSpectrum::lines(double fundamental_Hz) const {
    return std::clamp(static_cast<std::size_t>(highest_ / fundamental_Hz), std::size_t{1},
                      most_lines);
}

double LineSpectrum::power(double hertz) const { return power_[index(hertz)]; }

double LineSpectrum::mean_power(double from_Hz, double to_Hz) const {
    const std::size_t from = index(from_Hz);
    const std::size_t to = std::max(index(to_Hz), from + 1);
    return (sums_[to] - sums_[from]) / static_cast<double>(to - from);
}

LineSpectrum::Noise LineSpectrum::noise_around(double hertz, double fundamental_Hz) const {
    const double near = beside_line / length_;
    const double far = std::max(std::min(near + std::max(noise_Hz, noise_values / length_),
                                         fundamental_Hz - half_line / length_),
                                near + 2.0 / length_);
    // The mean was taken off: nothing is left below one line's half width.
    const double lowest = std::min(half_line / length_, hertz - near);
    const double below = mean_power(std::max(hertz - far, lowest), hertz - near);
    const double above = mean_power(hertz + near, hertz + far);
    // A series without noise still has rounding: as much as 10⁻³ dB a step.
    const double rounding = 1e-6 * static_cast<double>(tapered_.size());
    return {std::max(below, above) + rounding, 1.5 * (far - near) * length_};
}

double LineSpectrum::unlikelihood(double hertz, double fundamental_Hz) const {
    const Noise noise = noise_around(hertz, fundamental_Hz);
    // The ratio of one squared Fourier value to the mean of n others follows an F distribution.
    const double n = noise.independent_values;
    return n * std::log1p(power(hertz) / noise.power / n);
}

double LineSpectrum::comb_unlikelihood(double fundamental_Hz) const {
    const std::size_t count = lines(fundamental_Hz);
    double sum = 0.0;
    for (std::size_t h = 1; h <= count; ++h)
        sum += unlikelihood(static_cast<double>(h) * fundamental_Hz, fundamental_Hz);
    return gamma_unlikelihood(sum, count);
}

double LineSpectrum::exact_power(double hertz) const {
    return squared_fourier_value(std::span<const double>(tapered_), two_pi * hertz * step_);
}

double LineSpectrum::refined(double fundamental_Hz) const {
    const std::size_t count = lines(fundamental_Hz);
    const auto comb = [&](double f, const auto& power_at) {
        double sum = 0.0;
        for (std::size_t h = 1; h <= count; ++h)
            sum += power_at(static_cast<double>(h) * f);
        return sum;
    };
    const auto known = [&](double f) { return power(f); };
    const auto exact = [&](double f) { return exact_power(f); };
    double best = fundamental_Hz;
    for (double f = fundamental_Hz - 1.0 / length_; f < fundamental_Hz + 1.0 / length_;
         f += 0.25 * spacing_) {
        if (comb(f, known) > comb(best, known)) best = f;
    }
    // The greatest of all lies within a spacing of the greatest value known.
    double low = best - spacing_;
    double high = best + spacing_;
    while (high - low > 0.005 * spacing_) {
        const double third = (high - low) / 3.0;
        const bool rises = comb(low + third, exact) < comb(high - third, exact);
        (rises ? low : high) += rises ? third : -third;
    }
    return 0.5 * (low + high);
}

namespace {

// How far from a line its window still shows above the noise, in bins.
constexpr std::size_t skirt = 6;

// Quieter than three quarters of the bins around: noise also between harmonics close to each other.
constexpr double quiet_part = 0.25;
// From here on a bin belongs to a line; of the noise in a few windows hardly any bin does.
constexpr double line_re_quiet = 6.0;
constexpr std::size_t fewest_bins = 16;

using Bins = std::span<const double>;

double width_of(const CriticalBand& band) { return band.to.Hz() - band.from.Hz(); }

/// Mean square of the noise in one bin: the mean of those bins that hold no line, which is told
/// from the quieter quarter.
double noise_in(Bins bins) {
    std::vector<double> sorted(bins.begin(), bins.end());
    const auto quiet = sorted.begin() +
                       static_cast<std::ptrdiff_t>(quiet_part * static_cast<double>(sorted.size()));
    std::nth_element(sorted.begin(), quiet, sorted.end());
    const double line_from = line_re_quiet * *quiet;
    double sum = 0.0;
    double count = 0.0;
    for (const double bin : bins) {
        if (bin > line_from) continue;
        sum += bin;
        count += 1.0;
    }
    return sum / count;
}

}  // namespace

double noise_around(const PowerSpectrum& spectrum, std::size_t bin) {
    const Frequency f = static_cast<double>(bin) * spectrum.bin_width;
    const auto half = std::max(
        fewest_bins,
        static_cast<std::size_t>(0.5 * width_of(critical_band(f)) / spectrum.bin_width.Hz()));
    const Bins power = spectrum.mean_square;
    const std::size_t end = bin > skirt ? bin - skirt : 1;
    const std::size_t begin = end > half ? end - half : 1;
    const std::size_t after = bin + skirt + 1;
    const bool room_below = end >= begin + fewest_bins / 2;
    const bool room_above = after + fewest_bins / 2 <= power.size();
    const double below = room_below ? noise_in(power.subspan(begin, end - begin)) : 0.0;
    const double above =
        room_above ? noise_in(power.subspan(after, std::min(half, power.size() - after))) : 0.0;
    return std::max(below, above);
}

}  // namespace earbudget
