#pragma once

#include <string>
#include <vector>

#include "earbudget/day/hearing_day.hpp"

namespace earbudget {

/// What is worn during some rows, for warnings about its prediction.
struct WornDuring {
    const Plan& plan;
    const std::vector<std::string>& wears;
    const AttenuationData& attenuation;
    const std::vector<HeardRow*>& rows;
};

/// Cards that lack data which others have, so that a lesser method holds for them: one warning for
/// each, at the card, with the key to enter.
void warn_of_lowered(const WornDuring& worn, std::vector<Warning>& warnings);

/// Sequences whose spectrum is not known, so that a method is used in a form of its own: the form,
/// its uncertainty and what to enter.
void warn_of_forms(const WornDuring& worn, std::vector<Warning>& warnings);

/// A label that holds for 84 % of people where another performance is asked for.
void warn_of_label(const WornDuring& worn, std::vector<Warning>& warnings);

/// What no method reaches, so that it counts unreduced.
void warn_of_unreached(HearingDay& day);

}  // namespace earbudget
