#pragma once

#include <vector>

#include "predicting/prediction.hpp"
#include "predicting/varied.hpp"
#include "report/document.hpp"

namespace earbudget::predicting {

/// By third octave: the waveform's slew, the response of each axis, the sound that follows.
[[nodiscard]] std::vector<report::Drawing> sound_figures(const PredictedSound& sound);

/// The level over the scale.
[[nodiscard]] std::vector<report::Drawing> varied_figure(const Varied& varied);

}  // namespace earbudget::predicting
