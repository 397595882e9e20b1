#pragma once

#include <string>
#include <vector>

#include "earbudget/day/exposure_day.hpp"

namespace earbudget {

/// What is worn during some rows, for warnings about its prediction.
struct WornDuring {
    const Plan& plan;
    const Person& person;
    const std::vector<std::string>& wears;
    const AttenuationData& attenuation;
    const PredictionRules& rules;
    const std::vector<ExposureRow*>& rows;
};

/// Adds what a reader may not expect of the prediction under something worn: cards that lack data
/// which others have, so that a lesser method holds for them (one warning each, at the card, with
/// the key to enter); sequences whose spectrum is not known, so that a method is used in a form of
/// its own; a label that holds for 84 % of people where another performance is asked for; a pair
/// that is predicted to leave more than one of the two alone.
void warn_of_methods(const WornDuring& worn, std::vector<Warning>& warnings);

/// Adds to a day's warnings what else was computed otherwise than its reader may expect: time
/// without sound, what counts unreduced, bands left out, reductions raised to zero.
void warn_of_day(const Plan& plan, const Person& person, ExposureDay& day);

}  // namespace earbudget
