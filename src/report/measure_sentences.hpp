#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/measuring/measure.hpp"

namespace earbudget::report {

// What is said of a measured channel in words, for text and pages: sentences without line breaks;
// empty where there is nothing to say.

/// A level in decibels, or that there is none.
template <class L>
std::string level_or_none(const std::optional<L>& level) {
    return level ? decimal_text(level->dB(), 1) : std::string("none");
}

[[nodiscard]] std::string why_no_level_sentence(const MeasuredChannel& channel);
[[nodiscard]] std::string calibration_sentence(const MeasuredChannel& channel);
[[nodiscard]] std::string tones_sentence(const MeasuredChannel& channel);
[[nodiscard]] std::string background_sentence(const std::optional<MeasuredBackground>& background);
[[nodiscard]] std::string proposed_uncertainty_sentence(
    const std::optional<ProposedUncertainty>& uncertainty);

/// Whether a run can stand for the sequence.
[[nodiscard]] std::string_view usability_words(const SequenceRun& run);

}  // namespace earbudget::report
