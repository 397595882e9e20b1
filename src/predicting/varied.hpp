#pragma once

#include <optional>
#include <vector>

#include "earbudget/excitation/response.hpp"
#include "earbudget/excitation/stretched.hpp"
#include "earbudget/excitation/waveform.hpp"

namespace earbudget::predicting {

/// What to vary, between two scales.
struct VaryRequest {
    TimingChange stretch = TimingChange::EchoSpacing;
    double from = 0.8, to = 1.25;
};

/// The level of a sequence of which something lasts longer by a factor.
struct VariedLevel {
    double scale = 1.0;
    std::optional<LevelA> LAeq;
    std::optional<Frequency> strongest;  ///< where the gradients' slew is strongest, A-weighted
};

/// A scale nearby at which it would be quieter than around it, and by how much than as it is.
struct QuieterScale {
    double scale = 1.0;
    LevelDifference by{0.0};
};

/// A frequency at which an axis sounds louder than around it.
struct Resonance {
    std::size_t axis = 0;
    Frequency frequency;
    double Pa_per_T_per_m = 0.0;
};

struct Varied {
    VaryRequest request;
    std::vector<VariedLevel> levels;    ///< by rising scale, one of them 1
    std::vector<QuieterScale> quieter;  ///< the quietest first
    std::vector<Resonance> resonances;  ///< by axis, the loudest three of each
    Seconds listened{0.0};              ///< of the file, at most; the same part at each scale
    bool has_stretched = false;         ///< whether anything was of the kind that is stretched
};

/// Reads "echo-spacing", "time", and either with a range, "echo-spacing:0.9:1.1"; none for anything
/// else.
[[nodiscard]] std::optional<VaryRequest> parse_vary(std::string_view text);
inline constexpr std::string_view accepted_vary =
    "echo-spacing or time, either with a range such as echo-spacing:0.9:1.1, scales from 0.25 to "
    "4; "
    "time from 1 up, since shorter would be steeper than the file's largest slew";

/// Predicts the level at each scale. Throws what reading throws.
[[nodiscard]] Varied vary(WaveformSource& waveform, const ScannerResponse& response,
                          const VaryRequest& request);

}  // namespace earbudget::predicting
