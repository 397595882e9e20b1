#include "earbudget/measurement/rare_peaks.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace earbudget {

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
