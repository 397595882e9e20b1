#pragma once

#include <utility>
#include <vector>

#include <Eigen/Core>

#include "earbudget/decision/day_errors.hpp"
#include "earbudget/exposure/random_draws.hpp"

namespace earbudget {

using Draws = Eigen::Ref<const Eigen::ArrayXd>;

/// Some draws of every variable of a day: those of a few are kept, of many worked out again.
class VariableDraws {
  public:
    VariableDraws(const std::vector<ErrorVariable>& variables, const NormalDraws& draws);

    /// Draws `first` to `first + size` of all variables, one a column; `scratch` may be used.
    [[nodiscard]] Eigen::Ref<const Eigen::ArrayXXd> block(Eigen::Index first, Eigen::Index size,
                                                          Eigen::ArrayXXd& scratch) const;

  private:
    const std::vector<ErrorVariable>& variables_;
    const NormalDraws& draws_;
    Eigen::ArrayXXd kept_;
};

/// The levels of one segment in some draws, and what criteria add up of them.
class DrawnLevels {
  public:
    /// `added` is a reduction under the protector, on top.
    void draw(const Segment& segment, const Eigen::Ref<const Eigen::ArrayXXd>& variables,
              LevelDifference added);

    [[nodiscard]] const Eigen::ArrayXd& outside() const { return outside_; }
    /// Under the protector; only where something reduces.
    [[nodiscard]] const Eigen::ArrayXd& while_worn() const { return worn_; }
    [[nodiscard]] bool is_reduced() const { return is_reduced_; }
    /// Whether some of the time is spent without the protector, or with it.
    [[nodiscard]] bool has_time_without() const { return !is_reduced_ || has_time_without_; }
    [[nodiscard]] bool has_time_with() const { return is_reduced_ && has_time_with_; }

    /// exp(growth·(L − 85 dB)), over the time with and without the protector; levels below the
    /// threshold count nothing.
    [[nodiscard]] const Eigen::ArrayXd& rate(double growth, bool at_ear,
                                             const std::optional<LevelA>& threshold);

    static constexpr LevelA reference{85.0};

  private:
    struct Rates {
        double growth;
        bool outside_known, worn_known;
        Eigen::ArrayXd outside, worn;
    };

    void reduce(const SegmentProtection& protection,
                const Eigen::Ref<const Eigen::ArrayXXd>& variables, LevelDifference added);
    [[nodiscard]] Rates& rates_of(double growth);

    Eigen::ArrayXd outside_, worn_, unreduced_, fraction_, result_;
    bool is_reduced_ = false, has_time_with_ = true, has_time_without_ = false;
    std::vector<Rates> rates_;
};

}  // namespace earbudget
