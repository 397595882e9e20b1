#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace earbudget {

/// Adds up the power spectra of many windows of a signal, sixteen windows at a time.
///
/// Two real windows make one complex one, whose transform holds the sum of their powers at k and
/// −k; eight of these go side by side through the processor's vector unit. Single precision: an
/// error of about 1e-7 of the strongest line.
class PowerTransform {
  public:
    /// `window` has a power of two of values, eight at least; a window starts every half of it.
    explicit PowerTransform(std::vector<float> window);

    [[nodiscard]] std::size_t length() const { return window_.size(); }
    [[nodiscard]] std::size_t hop() const { return window_.size() / 2; }

    [[nodiscard]] std::span<const float> window() const { return window_; }

    static constexpr std::size_t at_once = 16;
    /// Samples that `at_once` windows cover.
    [[nodiscard]] std::size_t span_of_all() const { return (at_once + 1) * hop(); }

    /// Windows from the first sample on; `samples` has span_of_all() of them.
    void add_all(std::span<const float> samples);

    /// One window over `length()` samples, its power times `scale`.
    void add_one(std::span<const float> samples, double scale);

    /// Sum of |X|² of all windows for each k from 0 to length / 2; call once, at the end.
    [[nodiscard]] std::vector<double> finish();

  private:
    void transform();

    std::vector<float> window_;
    std::vector<float> twiddles_;
    std::vector<float> re_, im_;  // eight values for each point
    std::vector<double> power_;   // in the order of the transform
    std::size_t waiting_ = 0;     // windows that add_one has put into re_ and im_
};

}  // namespace earbudget
