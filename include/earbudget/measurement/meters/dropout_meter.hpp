#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"

namespace earbudget {

/// Stretches where a recording stood still.
struct Dropouts {
    std::uint64_t count = 0;
    std::uint64_t first_sample = 0;  ///< where the first begins, from 0; meaningless without one
    Seconds longest{0.0};
    Seconds total{0.0};
};

/// Finds where samples are missing: stretches of exactly equal samples, zero or a held value, from
/// 1 ms and eight samples up, that begin or end with a step of eight codes or more.
///
/// A code is that of the format but never finer than 16 bits, so that the equal samples of a quiet
/// background are no dropouts. Digitally silent gaps between the bursts of a synthetic tone count,
/// and so does a long digital silence: no microphone gives it. What stands at the very start or end
/// of the recording does not (trimming, fading), nor do the flat tops of a signal that was cut off:
/// stretches, other than of zeros, at the recording's own highest or lowest value. No source: the
/// rules are this program's own.
class DropoutMeter {
  public:
    DropoutMeter(Frequency sample_rate, std::optional<Quantization> quantization);

    void add(std::span<const float> block);

    /// Of everything added so far.
    [[nodiscard]] Dropouts dropouts() const;

  private:
    struct Tally {
        std::uint64_t count = 0;
        std::uint64_t first_sample = 0;
        std::uint64_t longest = 0;
        std::uint64_t total = 0;

        void add(const Tally& other);
    };
    /// Stretches at one end of the signal, perhaps flat tops; its values are taken times `sign`.
    struct AtExtreme {
        double sign;
        double at = -std::numeric_limits<double>::infinity();
        Tally tally;
    };
    /// Equal samples so far.
    struct Run {
        std::uint64_t first_sample = 0;
        float value = 0.0F;
        float before = 0.0F;
    };

    void look_for_runs(std::span<const float> block, std::size_t from);
    void end_run(const Run& run, std::uint64_t end, float after);
    [[nodiscard]] bool take_at_extreme(AtExtreme& side, float value, float extreme,
                                       const Tally& stretch);
    void take_extremes(std::span<const float> block);

    double sample_rate_;
    double step_;
    std::uint64_t shortest_;
    std::size_t stride_;  // between samples that are looked at
    std::uint64_t position_ = 0;
    Run run_;
    float highest_ = -std::numeric_limits<float>::infinity();
    float lowest_ = std::numeric_limits<float>::infinity();
    Tally certain_;
    AtExtreme top_{.sign = 1.0, .tally = {}};
    AtExtreme bottom_{.sign = -1.0, .tally = {}};
};

}  // namespace earbudget
