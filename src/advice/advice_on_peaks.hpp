#pragma once

#include <vector>

#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Whether a limit on the peak is over: one on the peak outside, or one on the peak at the ear.
[[nodiscard]] bool exceeds_a_peak(const PersonResult& result, bool at_ear);

/// Which peak to enter or to measure, where a peak limit cannot be decided without.
void advise_on_unknown_peaks(const Plan& plan, const HearingDay& day, const PersonResult& result,
                             std::vector<Advice>& advice);

/// What a peak above its limit asks for, beside what `advice` holds already.
void advise_on_peaks_over(const PersonResult& result, std::vector<Advice>& advice);

}  // namespace earbudget
