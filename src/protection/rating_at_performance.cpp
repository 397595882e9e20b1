#include "earbudget/protection/rating_at_performance.hpp"

#include <algorithm>

namespace earbudget {

namespace {

/// As the label states it and as the octave data give it.
LevelDifference held_at_label(LevelDifference computed, std::optional<LevelDifference> label,
                              double alpha) {
    if (!label) return computed;
    return alpha > alpha_of_labels ? std::min(computed, *label) : std::max(computed, *label);
}

bool is_whole(const std::optional<OctaveAttenuation>& octave) {
    return octave && hold_all_from_125_Hz(octave->bands());
}

}  // namespace

std::optional<RatingAt<LevelDifference>> snr_at(const Ratings& label,
                                                const std::optional<OctaveAttenuation>& octave,
                                                double alpha) {
    if (label.SNR && alpha == alpha_of_labels) return RatingAt<LevelDifference>{*label.SNR};
    if (!is_whole(octave)) {
        if (!label.SNR) return std::nullopt;
        return RatingAt<LevelDifference>{.value = *label.SNR, .of_84 = true};
    }
    const LevelDifference computed = rounded_as_label(compute_snr(*octave, alpha));
    return RatingAt<LevelDifference>{held_at_label(computed, label.SNR, alpha), true};
}

std::optional<RatingAt<Hml>> hml_at(const Ratings& label,
                                    const std::optional<OctaveAttenuation>& octave, double alpha) {
    const bool stated = label.H && label.M && label.L;
    if (stated && alpha == alpha_of_labels) {
        return RatingAt<Hml>{{*label.H, *label.M, *label.L}};
    }
    if (!is_whole(octave)) {
        if (!stated) return std::nullopt;
        return RatingAt<Hml>{.value = {*label.H, *label.M, *label.L}, .of_84 = true};
    }
    const Hml exact = compute_hml(*octave, alpha);
    const auto settled = [&](LevelDifference computed, std::optional<LevelDifference> of_label) {
        return held_at_label(rounded_as_label(computed), stated ? of_label : std::nullopt, alpha);
    };
    return RatingAt<Hml>{
        {settled(exact.H, label.H), settled(exact.M, label.M), settled(exact.L, label.L)}, true};
}

}  // namespace earbudget
