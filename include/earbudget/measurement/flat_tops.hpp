#pragma once

#include <array>
#include <cstdint>
#include <limits>

namespace earbudget {

/// A run of equal samples that has ended, and what stands beside it.
struct Plateau {
    float value = 0.0F;
    std::uint64_t length = 0;        ///< in samples, two or more
    std::uint64_t first_sample = 0;  ///< from 0
    std::array<float, 12> before{};  ///< the nearest first
    std::array<float, 2> after{};
};

/// Tells tops that were cut off from crests that are flat by rounding, at one end of a signal.
///
/// A smooth crest rounded to codes falls a code or two beside its equal samples, or a few more when
/// these are few; what was cut off falls abruptly. A code is the `step` given, but where the
/// samples around are all whole multiples of a coarser one apart it is that: a recording of few
/// codes may have been amplified. For the same reason square waves and other signals of few values
/// are not called cut off. No source: the rules are this program's own.
class FlatTops {
  public:
    /// For highest samples `sign` is 1, for lowest -1; values are taken times `sign`.
    explicit FlatTops(double sign) : sign_(sign) {}

    /// Counts a plateau that stands, within a step, at the signal's `extreme` so far; one that is
    /// higher by more than a step makes earlier ones count no longer.
    void take(const Plateau& plateau, double step, double extreme);

    /// Whether tops were cut off, one of four samples or two of three, and the signal's `extreme`
    /// is no more than a step above them.
    [[nodiscard]] bool cut_off(double step, double extreme) const;

    [[nodiscard]] double at() const { return at_; }
    [[nodiscard]] std::uint64_t stretches() const { return stretches_; }
    [[nodiscard]] std::uint64_t first_sample() const { return first_sample_; }

  private:
    [[nodiscard]] double fall(const Plateau& plateau, float to) const;
    [[nodiscard]] double step_around(const Plateau& plateau, double step) const;
    [[nodiscard]] bool is_abrupt(const Plateau& plateau, double step) const;

    double sign_;
    double at_ = -std::numeric_limits<double>::infinity();
    std::uint64_t stretches_ = 0;
    std::uint64_t longest_ = 0;
    std::uint64_t first_sample_ = 0;
};

}  // namespace earbudget
