#include "measurement/line_noise.hpp"

#include <algorithm>
#include <span>
#include <vector>

#include "earbudget/measurement/critical_band.hpp"

namespace earbudget {

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
