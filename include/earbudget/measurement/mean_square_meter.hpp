#pragma once

#include <span>

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

}  // namespace earbudget
