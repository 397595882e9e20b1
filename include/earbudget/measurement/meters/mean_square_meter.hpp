#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget {

/// Sum of the squares of a block, to a part in a million.
[[nodiscard]] double sum_of_squares(std::span<const float> block);

/// Mean of the squares of all samples, each counted once.
class MeanSquareMeter {
  public:
    void add(std::span<const float> block);

    /// 0 when nothing was added.
    [[nodiscard]] double mean_square() const { return count_ > 0.0 ? sum_ / count_ : 0.0; }

  private:
    double sum_ = 0.0;
    double count_ = 0.0;
};

/// Mean of all samples and mean square of what is left without it, each sample counted once.
///
/// Blocks are merged by their means and deviations (Chan, Golub and LeVeque 1983, The American
/// Statistician 37:242; memory), so that a large constant offset costs no accuracy.
class VarianceMeter {
  public:
    void add(std::span<const float> block);

    /// 0 when nothing was added.
    [[nodiscard]] double mean() const { return mean_; }

    /// 0 when nothing was added.
    [[nodiscard]] double mean_square_without_mean() const {
        return count_ > 0.0 ? deviation_ / count_ : 0.0;
    }

  private:
    void merge(std::span<const float> part);

    double count_ = 0.0;
    double mean_ = 0.0;
    double deviation_ = 0.0;  // sum of squared deviations from the mean
};

namespace quantity {

/// A-weighted sound exposure, ∫ p² dt, re (20 µPa)² · 1 s: no mean square, so it never mixes with
/// LAeq.
struct AWeightedExposure {
    static constexpr bool is_mean_square = false;
};

}  // namespace quantity

/// A-weighted sound exposure level LAE (IEC 61672-1, 3.14; clause from memory).
using ExposureLevelA = Level<quantity::AWeightedExposure>;

inline constexpr Formula formula_of_LAE{"LAE = LAeq + 10 lg(T / 1 s)",
                                        "IEC 61672-1:2013, 3.14 (clause from memory)"};

/// LAE = LAeq + 10 lg(time / 1 s); none without time.
[[nodiscard]] inline std::optional<ExposureLevelA> sound_exposure_level(LevelA LAeq, Seconds time) {
    if (!(time.count() > 0.0)) return std::nullopt;
    return ExposureLevelA(LAeq.dB() + 10.0 * std::log10(time.count()));
}

}  // namespace earbudget
