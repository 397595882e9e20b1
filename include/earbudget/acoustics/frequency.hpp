#pragma once

#include <compare>

namespace earbudget {

/// A frequency in hertz, also a sampling rate.
class Frequency {
  public:
    explicit constexpr Frequency(double hertz) : hertz_(hertz) {}

    /// Value in Hz.
    [[nodiscard]] constexpr double Hz() const { return hertz_; }

    constexpr auto operator<=>(const Frequency&) const = default;

    friend constexpr Frequency operator*(double factor, Frequency f) {
        return Frequency(factor * f.hertz_);
    }
    friend constexpr Frequency operator/(Frequency f, double divisor) {
        return Frequency(f.hertz_ / divisor);
    }
    /// Ratio of two frequencies, without a unit.
    friend constexpr double operator/(Frequency a, Frequency b) { return a.hertz_ / b.hertz_; }

  private:
    double hertz_;
};

}  // namespace earbudget
