#include "earbudget/measurement/meters/weighting_filter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <mutex>
#include <numbers>
#include <stdexcept>
#include <utility>
#include <vector>

#include <kissfft/kissfft.hh>

#include "earbudget/acoustics/bands.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

constexpr std::size_t design_points = 4096;  // from 0 to half the sampling rate
constexpr double matched_up_to = 0.46;       // of the sampling rate
constexpr std::size_t a_taps = 12;

/// The low-pass of C weighting decays as its pole's powers; then the correction of the rest.
std::size_t c_taps(double low_pass_pole) {
    constexpr double left_over = 1e-5;
    constexpr std::size_t correction = 24;
    const double decay = std::log(left_over) / std::log(low_pass_pole);
    return correction + static_cast<std::size_t>(std::ceil(decay));
}

void require_supported(Frequency sample_rate) {
    if (!(sample_rate >= lowest_sample_rate && sample_rate <= highest_sample_rate)) {
        throw std::invalid_argument("sampling rate outside 8 to 192 kHz");
    }
}

double matched_pole(Frequency corner, Frequency sample_rate) {
    return std::exp(-2.0 * std::numbers::pi * (corner / sample_rate));
}

double log_magnitude_of_high_pass(double pole, double cycles_per_sample) {
    const auto z = std::polar(1.0, -2.0 * std::numbers::pi * cycles_per_sample);
    return std::log(std::abs((1.0 - z) / (1.0 - pole * z)));
}

double nepers(LevelDifference gain) { return gain.dB() * std::numbers::ln10 / 20.0; }

/// What two high-pass sections leave to be done, as a natural logarithm.
///
/// Up to `matched_up_to` it is design curve over response. From there it levels out with
/// continuous slope and curvature, since a kink at half the sampling rate would make the
/// response long.
template <class Gain>
std::vector<double> missing_gain(double pole_1, double pole_2, Gain design) {
    const auto missing = [&](double cycles_per_sample) {
        return nepers(design(cycles_per_sample)) -
               log_magnitude_of_high_pass(pole_1, cycles_per_sample) -
               log_magnitude_of_high_pass(pole_2, cycles_per_sample);
    };
    constexpr double edge = matched_up_to;
    constexpr double step = 1e-4;
    const double at_edge = missing(edge);
    const double slope = (missing(edge + step) - missing(edge - step)) / (2.0 * step);
    const double curvature =
        (missing(edge + step) - 2.0 * at_edge + missing(edge - step)) / (step * step);
    constexpr double width = 0.5 - edge;

    std::vector<double> result(design_points + 1);
    for (std::size_t k = 0; k <= design_points; ++k) {
        const double x = 0.5 * static_cast<double>(k) / static_cast<double>(design_points);
        if (x <= edge) {
            // The ratio tends to a constant towards 0, where both its parts vanish.
            result[k] = missing(std::max(x, 0.5 / static_cast<double>(design_points)));
        } else {
            const double u = (x - edge) / width;
            const double bend = width * curvature;
            result[k] = at_edge + width * u * (slope + u * (bend / 2.0 - u * (slope + bend) / 3.0));
        }
    }
    return result;
}

/// Impulse responses by sampling rate, each designed once: the channels and files of an archive
/// have few rates, and the design costs as much as a second of sound. Only the latest are kept.
class Designs {
  public:
    template <class Design>
    [[nodiscard]] std::vector<double> at(Frequency sample_rate, Design&& design) {
        const std::lock_guard lock(mutex_);
        const auto known =
            std::ranges::find(latest_, sample_rate.Hz(), &std::pair<double, Response>::first);
        if (known != latest_.end()) return known->second;
        constexpr std::size_t most = 8;
        if (latest_.size() == most) latest_.erase(latest_.begin());
        latest_.emplace_back(sample_rate.Hz(), design());
        return latest_.back().second;
    }

  private:
    using Response = std::vector<double>;

    std::mutex mutex_;
    std::vector<std::pair<double, Response>> latest_;
};

constexpr std::ptrdiff_t reach = vector::high_pass_reach;

void keep_last(std::vector<float>& buffer, std::size_t count) {
    std::copy(buffer.end() - static_cast<std::ptrdiff_t>(count), buffer.end(), buffer.begin());
}

}  // namespace

/// Two high-pass sections, then a filter given by its impulse response.
struct WeightingFilter::Stages {
    std::array<vector::HighPass, 2> high;
    std::vector<float> backwards;  // the impulse response, last value first
    // What goes into each stage; as many past samples as the stage needs come first.
    std::vector<float> to_first, to_second, to_last;
};

WeightingFilter::WeightingFilter(double pole_1, double pole_2, std::span<const double> response)
    : stages_(std::make_unique<Stages>(
          Stages{.high = {vector::high_pass_with_pole(pole_1), vector::high_pass_with_pole(pole_2)},
                 .backwards = {response.rbegin(), response.rend()},
                 .to_first = std::vector<float>(reach, 0.0F),
                 .to_second = std::vector<float>(reach, 0.0F),
                 .to_last = std::vector<float>(response.size() - 1, 0.0F)})) {}

WeightingFilter::WeightingFilter(WeightingFilter&&) noexcept = default;
WeightingFilter& WeightingFilter::operator=(WeightingFilter&&) noexcept = default;
WeightingFilter::~WeightingFilter() = default;

WeightingFilter WeightingFilter::c_weighting(Frequency sample_rate) {
    require_supported(sample_rate);
    const double high = matched_pole(WeightingPoles::f1, sample_rate);
    static Designs designs;
    return {
        high, high, designs.at(sample_rate, [&] {
            const double low = matched_pole(WeightingPoles::f4, sample_rate);
            const auto design = [&](double x) { return earbudget::c_weighting(x * sample_rate); };
            auto response = minimum_phase_response(missing_gain(high, high, design), c_taps(low));
            // Zeros: whole vectors of taps are the fastest.
            response.resize((response.size() + 7) / 8 * 8, 0.0);
            return response;
        })};
}

WeightingFilter WeightingFilter::a_weighting_after_c(Frequency sample_rate) {
    require_supported(sample_rate);
    const double first = matched_pole(WeightingPoles::f2, sample_rate);
    const double second = matched_pole(WeightingPoles::f3, sample_rate);
    static Designs designs;
    return {first, second, designs.at(sample_rate, [&] {
                const auto design = [&](double x) {
                    return a_weighting(x * sample_rate) - earbudget::c_weighting(x * sample_rate);
                };
                return minimum_phase_response(missing_gain(first, second, design), a_taps);
            })};
}

void WeightingFilter::process(std::span<float> block) {
    const vector::Kernels& kernels = vector::kernels();
    auto& [high, backwards, to_first, to_second, to_last] = *stages_;
    const std::size_t count = block.size();
    if (count == 0) return;
    const std::size_t taps = backwards.size();
    for (auto* buffer : {&to_first, &to_second})
        buffer->resize(reach + count);
    to_last.resize(taps - 1 + count);
    std::ranges::copy(block, to_first.begin() + reach);
    kernels.high_pass(high[0], to_first.data() + reach, to_second.data() + reach, count);
    kernels.high_pass(high[1], to_second.data() + reach, to_last.data() + taps - 1, count);
    kernels.correlate(backwards.data(), taps, to_last.data(), block.data(), count);
    keep_last(to_first, reach);
    keep_last(to_second, reach);
    keep_last(to_last, taps - 1);
}

namespace {

using Spectrum = std::vector<std::complex<double>>;

Spectrum transformed(const Spectrum& input, bool inverse) {
    Spectrum output(input.size());
    kissfft<double>(input.size(), inverse).transform(input.data(), output.data());
    return output;
}

}  // namespace

std::vector<double> minimum_phase_response(std::span<const double> log_magnitude,
                                           std::size_t taps) {
    if (log_magnitude.size() < 2) throw std::invalid_argument("a magnitude at two points at least");
    const std::size_t half = log_magnitude.size() - 1;
    const std::size_t length = 2 * half;
    if (taps > length) throw std::invalid_argument("more taps than points of the magnitude");
    Spectrum values(length);
    for (std::size_t k = 0; k < length; ++k) {
        values[k] = log_magnitude[k <= half ? k : length - k];
    }
    // Folding the anticausal half of the cepstrum onto the causal one makes the phase minimum.
    Spectrum cepstrum = transformed(values, true);
    for (std::size_t n = 0; n < length; ++n) {
        const double fold = n == 0 || n == half ? 1.0 : (n < half ? 2.0 : 0.0);
        cepstrum[n] = fold * cepstrum[n].real() / static_cast<double>(length);
    }
    Spectrum response = transformed(cepstrum, false);
    for (auto& value : response)
        value = std::exp(value);
    response = transformed(response, true);
    std::vector<double> result(taps);
    for (std::size_t n = 0; n < taps; ++n) {
        result[n] = response[n].real() / static_cast<double>(length);
    }
    return result;
}

}  // namespace earbudget
