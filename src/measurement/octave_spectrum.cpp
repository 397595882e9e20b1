#include "earbudget/measurement/octave_spectrum.hpp"

#include <algorithm>
#include <cstddef>

#include "earbudget/measurement/full_scale.hpp"

namespace earbudget {

double band_mean_square(const PowerSpectrum& spectrum, Frequency from, Frequency to,
                        Weighting weighting) {
    double sum = 0.0;
    const auto first =
        std::max(std::size_t{1}, static_cast<std::size_t>(from / spectrum.bin_width));
    const auto last = static_cast<std::size_t>(to / spectrum.bin_width + 1.0);
    for (std::size_t k = first; k < spectrum.mean_square.size() && k <= last; ++k) {
        const auto centre = static_cast<double>(k);
        const double low = std::max(centre - 0.5, from / spectrum.bin_width);
        const double high = std::min(centre + 0.5, to / spectrum.bin_width);
        if (high <= low) continue;
        const double gain = weighting ? energy_ratio(weighting(centre * spectrum.bin_width)) : 1.0;
        sum += (high - low) * gain * spectrum.mean_square[k];
    }
    return sum;
}

bool is_above_nyquist(Frequency upper_edge, Frequency sample_rate) {
    constexpr double grace = 1.02;
    return upper_edge > grace * sample_rate / 2.0;
}

OctaveMask bands_above_nyquist(Frequency sample_rate) {
    OctaveMask mask;
    for (const OctaveBand band : octave_bands) {
        if (is_above_nyquist(upper_edge(band), sample_rate)) mask.set(index_of(band));
    }
    return mask;
}

OctaveLevels<quantity::FullScale> octave_levels(const PowerSpectrum& spectrum,
                                                Frequency sample_rate, Weighting weighting) {
    const OctaveMask above = bands_above_nyquist(sample_rate);
    OctaveLevels<quantity::FullScale> levels;
    for (const OctaveBand band : octave_bands) {
        if (above.test(index_of(band))) continue;
        const auto level = level_of_mean_square(
            band_mean_square(spectrum, lower_edge(band), upper_edge(band), weighting));
        if (level) levels.set(band, *level);
    }
    return levels;
}

ThirdOctaveLevels<quantity::FullScale> third_octave_levels(const PowerSpectrum& spectrum,
                                                           Frequency sample_rate) {
    ThirdOctaveLevels<quantity::FullScale> levels;
    for (std::size_t n = 0; n < third_octave_count; ++n) {
        const Frequency upper = third_octave_upper_edge(n);
        if (is_above_nyquist(upper, sample_rate)) continue;
        levels[n] =
            level_of_mean_square(band_mean_square(spectrum, third_octave_lower_edge(n), upper));
    }
    return levels;
}

}  // namespace earbudget
