#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "earbudget/measurement/sample_source.hpp"

namespace earbudget {

/// Stretches where a signal was cut off at full scale.
struct Clipping {
    std::uint64_t stretches = 0;
    std::uint64_t first_sample = 0;  ///< where the first begins, from 0; meaningless without one
};

/// Counts stretches of three or more consecutive samples at full scale.
///
/// At full scale means: within one and a half codes of it in an integer format, or, in any format,
/// exactly equal values within 0.01 dB of it or beyond. A floating-point recording may rise above
/// full scale without harm.
class ClippingMeter {
  public:
    explicit ClippingMeter(std::optional<Quantization> quantization);

    void add(std::span<const double> block);

    [[nodiscard]] const Clipping& clipping() const { return clipping_; }

  private:
    double full_scale_;  // what an integer format reaches at its end
    double previous_ = 0.0;
    std::uint64_t at_end_of_scale_ = 0;  // consecutive samples so far
    std::uint64_t equal_ = 0;
    bool in_stretch_ = false;
    std::uint64_t position_ = 0;
    Clipping clipping_;
};

}  // namespace earbudget
