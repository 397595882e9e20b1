#include "earbudget/measurement/octave_spectrum.hpp"

#include <algorithm>
#include <cstddef>

#include "earbudget/measurement/full_scale.hpp"

namespace earbudget {

double band_mean_square(const PowerSpectrum& spectrum, Frequency from, Frequency to,
                        Weighting weighting) {
    double sum = 0.0;
    for (std::size_t k = 1; k < spectrum.mean_square.size(); ++k) {
        const auto centre = static_cast<double>(k);
        const double low = std::max(centre - 0.5, from / spectrum.bin_width);
        const double high = std::min(centre + 0.5, to / spectrum.bin_width);
        if (high <= low) continue;
        const double gain = weighting ? energy_ratio(weighting(centre * spectrum.bin_width)) : 1.0;
        sum += (high - low) * gain * spectrum.mean_square[k];
    }
    return sum;
}

OctaveMask bands_above_nyquist(Frequency sample_rate) {
    constexpr double grace = 1.02;
    OctaveMask mask;
    for (const OctaveBand band : octave_bands) {
        if (upper_edge(band) > grace * sample_rate / 2.0) mask.set(index_of(band));
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

}  // namespace earbudget
