#include "earbudget/measurement/meters/peak_meter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <vector>

#include "measurement/meters/block_scan.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

constexpr std::size_t reach = 20;     // samples on either side of the gap to be filled
constexpr std::size_t phases = 4;     // steps from one sample to the next
constexpr double kaiser_beta = 5.65;  // 60 dB (Kaiser 1974; memory)

// A sample this far below the highest so far, as a part of the signal's range, is not examined: a
// crest exceeds its highest sample by less than 6 dB up to a third of the sampling rate.
constexpr double worth_examining = 0.25;

using Kernel = std::array<float, 2 * reach>;

double kaiser(double x) {
    return std::cyl_bessel_i(0.0, kaiser_beta * std::sqrt(std::max(0.0, 1.0 - x * x))) /
           std::cyl_bessel_i(0.0, kaiser_beta);
}

Kernel kernel_at(double offset) {
    std::array<double, 2 * reach> exact;
    for (std::size_t k = 0; k < exact.size(); ++k) {
        const double x = offset + static_cast<double>(reach - 1) - static_cast<double>(k);
        const double angle = std::numbers::pi * x;
        exact[k] = std::sin(angle) / angle * kaiser(x / static_cast<double>(reach));
    }
    const double sum = std::accumulate(exact.begin(), exact.end(), 0.0);
    Kernel kernel;
    std::ranges::transform(exact, kernel.begin(),
                           [&](double tap) { return static_cast<float>(tap / sum); });
    return kernel;
}

// Between samples only: element 0 stands a quarter of the way.
const std::array<Kernel, phases - 1>& kernels() {
    static const std::array<Kernel, phases - 1> table = [] {
        std::array<Kernel, phases - 1> result;
        for (std::size_t p = 1; p < phases; ++p) {
            result[p - 1] = kernel_at(static_cast<double>(p) / static_cast<double>(phases));
        }
        return result;
    }();
    return table;
}

/// By how much a crest can exceed its highest sample: three times what the parabola through that
/// sample and its neighbours says. For tones up to a third of the sampling rate 8/3 is enough.
double greatest_excess(float before, float here, float after) {
    const double bend = std::abs(2.0 * static_cast<double>(here) - static_cast<double>(before) -
                                 static_cast<double>(after));
    const double slope = static_cast<double>(after) - static_cast<double>(before);
    return bend > 0.0 ? 3.0 * slope * slope / (8.0 * bend) : 0.0;
}

/// The value a part of the way from sample `left` to the next.
double between(const float* x, std::size_t left, std::size_t phase) {
    const float value = phase == 0
                            ? x[left]
                            : vector::kernels().dot_product(kernels()[phase - 1].data(),
                                                            x + (left + 1 - reach), 2 * reach);
    return static_cast<double>(value);
}

}  // namespace

void PeakMeter::add(std::span<const float> block) {
    if (block.empty()) return;
    take_extremes(block);
    recent_.insert(recent_.end(), block.begin(), block.end());
    if (recent_.size() <= 2 * reach) return;
    const std::size_t end = recent_.size() - reach;
    examine(reach, end);
    // The next centre is `end`; it needs `reach` samples before itself.
    recent_.erase(recent_.begin(), recent_.begin() + static_cast<std::ptrdiff_t>(end - reach));
}

void PeakMeter::take_extremes(std::span<const float> block) {
    const vector::Extremes found = vector::kernels().extremes(block.data(), block.size());
    last_ = std::max(-found.lowest, found.highest);
    const auto low = static_cast<double>(found.lowest);
    const auto high = static_cast<double>(found.highest);
    lowest_ = empty_ ? low : std::min(lowest_, low);
    highest_ = empty_ ? high : std::max(highest_, high);
    empty_ = false;
}

void PeakMeter::examine(std::size_t begin, std::size_t end) {
    for (std::size_t n = begin; n < end; ++n) {
        const double margin = worth_examining * (highest_ - lowest_);
        n = vector::kernels().find_crest(recent_.data(), n, end,
                                         static_cast<float>(lowest_ + margin),
                                         static_cast<float>(highest_ - margin));
        if (n < end) examine(n);
    }
}

void PeakMeter::examine(std::size_t centre) {
    const float before = recent_[centre - 1];
    const float here = recent_[centre];
    const float after = recent_[centre + 1];
    const auto height = static_cast<double>(here);
    const double most = greatest_excess(before, here, after);
    if (here >= before && here >= after && height > highest_ - most) {
        highest_ = std::max(highest_, crest_near(centre, 1.0));
    } else if (here <= before && here <= after && height < lowest_ + most) {
        lowest_ = std::min(lowest_, -crest_near(centre, -1.0));
    }
}

double PeakMeter::crest_near(std::size_t centre, double sign) const {
    std::array<double, 2 * phases + 1> values;
    for (std::size_t p = 0; p < phases; ++p) {
        values[p] = sign * between(recent_.data(), centre - 1, p);
        values[phases + p] = sign * between(recent_.data(), centre, p);
    }
    values.back() = sign * static_cast<double>(recent_[centre + 1]);
    const auto inner_end = values.end() - 1;
    const auto top = std::max_element(values.begin() + 1, inner_end);
    // The parabola through the three highest points finds the crest between them.
    const double left = *(top - 1);
    const double right = *(top + 1);
    const double bend = 2.0 * *top - left - right;
    if (left > *top || right > *top || !(bend > 0.0)) return *top;
    return *top + (right - left) * (right - left) / (8.0 * bend);
}

namespace {

constexpr std::size_t fewest_stretches = 100;
constexpr std::size_t one_in = 100;
constexpr float outstanding = 2.0F;  // 6 dB

}  // namespace

std::optional<RarePeaks> find_rare_peaks(std::span<const float> peaks, Seconds stretch) {
    if (peaks.size() < fewest_stretches) return std::nullopt;
    std::vector<float> sorted(peaks.begin(), peaks.end());
    const auto nine_in_ten = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() * 9 / 10);
    std::nth_element(sorted.begin(), nine_in_ten, sorted.end());
    const float from = outstanding * *nine_in_ten;
    if (!(from > 0.0F)) return std::nullopt;

    std::size_t count = 0;
    std::size_t first = 0;
    float highest = 0.0F;
    float rest = 0.0F;
    for (std::size_t n = 0; n < peaks.size(); ++n) {
        if (peaks[n] < from) {
            rest = std::max(rest, peaks[n]);
            continue;
        }
        if (count++ == 0) first = n;
        highest = std::max(highest, peaks[n]);
    }
    if (count == 0 || count * one_in > peaks.size()) return std::nullopt;
    return RarePeaks{count, static_cast<double>(first) * stretch,
                     LevelDifference(20.0 * std::log10(static_cast<double>(highest / rest)))};
}

}  // namespace earbudget
