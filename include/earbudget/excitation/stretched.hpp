#pragma once

#include <optional>

#include "earbudget/excitation/waveform.hpp"

namespace earbudget {

/// What of a waveform takes longer or shorter.
enum class TimingChange {
    Time,        ///< all of it: slews change by the inverse of the scale
    EchoSpacing  ///< plateaus alone, where a gradient stands still: slews stay
};

/// A waveform whose pieces last longer by a factor, with the same gradients; of its first seconds
/// alone, counted before they are stretched, so that each scale has the same part of it.
class StretchedWaveform final : public WaveformSource {
  public:
    /// The source must outlive this; `scale` and `longest` are above zero.
    StretchedWaveform(WaveformSource& source, TimingChange stretch, double scale, Seconds longest)
        : source_(source), stretch_(stretch), scale_(scale), longest_(longest) {}

    [[nodiscard]] std::optional<GradientPiece> next() override;
    void rewind() override;
    [[nodiscard]] bool duration_is_lower_bound() const override {
        return source_.duration_is_lower_bound();
    }
    /// Whether it ended before its source did.
    [[nodiscard]] bool is_cut() const { return is_cut_; }
    /// Whether anything so far was of the kind that is stretched.
    [[nodiscard]] bool has_stretched() const { return has_stretched_; }

  private:
    WaveformSource& source_;
    TimingChange stretch_;
    double scale_;
    Seconds longest_;
    Seconds heard_{0.0};  // of the source
    Seconds at_{0.0};
    bool is_cut_ = false;
    bool has_stretched_ = false;
};

}  // namespace earbudget
