#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "earbudget/measurement/spectrum/spectrum_meter.hpp"

namespace earbudget {

/// The power spectrum of a series that may hold lines, eight and more values to each 1 / length,
/// and how far a line stands out of what is around it.
class LineSpectrum {
  public:
    /// `series` holds two values at least, `step` seconds apart.
    LineSpectrum(std::span<const double> series, double step);

    [[nodiscard]] double length() const { return length_; }       ///< of the series in seconds
    [[nodiscard]] double spacing_Hz() const { return spacing_; }  ///< between values
    [[nodiscard]] double highest_Hz() const { return highest_; }  ///< where lines are looked for
    [[nodiscard]] double power(double hertz) const;

    /// −ln of the probability that chance gives a line as strong at `hertz`. The noise is that of
    /// the louder side, so that slopes and broad humps are no lines; it is taken no farther away
    /// than the next line of a harmonic series of `fundamental_Hz` would be.
    [[nodiscard]] double unlikelihood(double hertz, double fundamental_Hz) const;

    /// The same of the lines `fundamental_Hz` · 1, 2, 3, 4 together, up to `highest_Hz`.
    [[nodiscard]] double comb_unlikelihood(double fundamental_Hz) const;

    /// The frequency within 1 / length of `fundamental_Hz` at which the sum of the comb's powers is
    /// greatest, not bound to the spacing.
    [[nodiscard]] double refined(double fundamental_Hz) const;

  private:
    struct Noise {
        double power;
        double independent_values;
    };

    [[nodiscard]] std::size_t index(double hertz) const;
    [[nodiscard]] std::size_t lines(double fundamental_Hz) const;
    [[nodiscard]] double mean_power(double from_Hz, double to_Hz) const;
    [[nodiscard]] Noise noise_around(double hertz, double fundamental_Hz) const;
    [[nodiscard]] double exact_power(double hertz) const;

    double step_;
    double length_;
    double highest_;
    double spacing_;
    std::vector<double> tapered_;
    std::vector<double> power_;
    std::vector<double> sums_;  // of all powers before
};

/// Mean square of the noise in one bin beside a line at `bin`: on its louder side, over half of its
/// critical band, without what belongs to other lines.
[[nodiscard]] double noise_around(const PowerSpectrum& spectrum, std::size_t bin);

}  // namespace earbudget
