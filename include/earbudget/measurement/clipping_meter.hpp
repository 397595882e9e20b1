#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>

#include "earbudget/measurement/flat_tops.hpp"
#include "earbudget/measurement/sample_source.hpp"

namespace earbudget {

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
