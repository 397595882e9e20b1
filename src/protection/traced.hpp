#pragma once

#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/protection/predict.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"

namespace earbudget {

/// Leaves how a prediction came about, from what it carries: LC, the bands of a pair and a rating
/// where they were computed, the method, the derating. `name` is of the sound; `worn` are those
/// whose data were used, one or two.
void leave_prediction(const Prediction& prediction, const SoundLevels& sound,
                      const std::vector<const Protector*>& worn, const Message& name, Trace& trace);

/// A step that sums over bands.
[[nodiscard]] WorkingStep over_bands(StepOf step, const std::vector<RatingBand>& bands,
                                     const std::optional<LevelDifference>& result);

/// Beside a rating of octave data that the label's stands for: of another performance than 84 % it
/// is never on the wrong side of the label (snr_at).
inline constexpr const char* label_that_holds = "held_at_label_dB";

/// Whether ratings stand as computed or as on a label, to whole decibels.
enum class Rounding { None, WholeDecibels };

/// How H, M and L were computed from octave data: for which α, by which edition, from which noises.
struct HmlWorking {
    double alpha;
    Rounding rounding;
    RatingEdition edition = RatingEdition::Of2018;
    std::vector<NoiseReduction> noises = {};
    Hml exact = {};

    /// Computes them and keeps all of it.
    Hml of(const OctaveAttenuation& attenuation);
};

/// Leaves how H, M and L came from octave-band data; `of` is what stands before their names in the
/// keys.
void leave_hml(const Hml& hml, const HmlWorking& how, const std::string& of, Trace& trace);

/// The key of a rating; none where ratings have no keys.
[[nodiscard]] std::vector<std::string> key_of_rating(const std::string& of, const char* name);

}  // namespace earbudget
