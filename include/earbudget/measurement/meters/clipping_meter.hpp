#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>

#include "earbudget/measurement/meters/sample_source.hpp"

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

/// Stretches where a signal was cut off.
struct Clipping {
    std::uint64_t stretches = 0;
    // Without a stretch the rest is meaningless.
    std::uint64_t first_sample = 0;  ///< where the first stretch begins, from 0
    double at = 0.0;                 ///< absolute value of the first stretch's samples
    bool below_full_scale = false;   ///< cut off before it was recorded, or turned down since
};

/// Counts stretches of three or more consecutive samples that were cut off; full scale is 1.
///
/// At full scale means: within one and a half codes of it in an integer format, or, in any format,
/// exactly equal values within 0.01 dB of it or beyond. A floating-point recording may rise above
/// full scale without harm.
///
/// Where nothing reached full scale, flat tops are looked for: exactly equal samples at the
/// recording's own highest or lowest value, which the signal leaves abruptly (see FlatTops). They
/// must lie at 0.01 (-40 dB) or more and the signal span 0.01 and 256 codes, since few codes make
/// flat tops by chance. What the very first or last samples hold is not judged. No source: the
/// rules are this program's own.
class ClippingMeter {
  public:
    explicit ClippingMeter(std::optional<Quantization> quantization);

    void add(std::span<const float> block);

    /// Of everything added so far. Flat tops below full scale are forgotten again when the signal
    /// later rises above them.
    [[nodiscard]] Clipping clipping() const;

  private:
    struct Limits {
        float low;
        float high;
    };

    [[nodiscard]] Limits flat_outside() const;
    void examine(float x);
    void remember_before();
    void find_full_scale(float x);
    [[nodiscard]] bool pass_over(std::span<const float> chunk);

    double step_;
    float full_scale_;                   // what an integer format reaches at its end
    std::uint64_t at_end_of_scale_ = 0;  // consecutive samples so far
    bool in_stretch_ = false;
    Clipping full_;  // at full scale

    std::uint64_t position_ = 0;
    float previous_ = 0.0F;
    std::array<float, 16> recent_{};      // where sample n is at n modulo the size
    std::uint64_t equal_ = 0;             // consecutive samples equal to the previous one, with it
    decltype(Plateau::before) before_{};  // what came before three or more of them
    std::optional<Plateau> ended_;        // lacks its last sample

    float highest_ = -std::numeric_limits<float>::infinity();
    float lowest_ = std::numeric_limits<float>::infinity();
    FlatTops top_{1.0};
    FlatTops bottom_{-1.0};
};

}  // namespace earbudget
