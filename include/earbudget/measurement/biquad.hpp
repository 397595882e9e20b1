#pragma once

#include <cmath>
#include <span>

namespace earbudget {

/// A second-order recursive filter section with a0 = 1, in transposed direct form II.
class Biquad {
  public:
    struct Coefficients {
        double b0, b1, b2;
        double a1, a2;
    };

    explicit Biquad(Coefficients coefficients) : c_(coefficients) {}

    /// Filters a block in place; the state carries over to the next block.
    void process(std::span<double> block) {
        double s1 = s1_;
        double s2 = s2_;
        for (double& x : block) {
            const double y = c_.b0 * x + s1;
            s1 = c_.b1 * x - c_.a1 * y + s2;
            s2 = c_.b2 * x - c_.a2 * y;
            x = y;
        }
        // A decaying state would end in subnormal numbers, which are slow; this is −600 dB.
        s1_ = std::abs(s1) < 1e-30 ? 0.0 : s1;
        s2_ = std::abs(s2) < 1e-30 ? 0.0 : s2;
    }

  private:
    Coefficients c_;
    double s1_ = 0.0;
    double s2_ = 0.0;
};

}  // namespace earbudget
