#pragma once

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/limits/assessment.hpp"

namespace earbudget {

/// Leaves the day's exposure and the shares of its rows.
void leave_exposure(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                    Trace& trace);

/// Leaves what else is said of the day: shares of sequences and tasks, the largest change, the
/// intercom, the average while scanning.
void leave_outcomes(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                    Trace& trace);

/// Leaves repeats, longest times, and what else the advice counts.
void leave_advice(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                  Trace& trace);

}  // namespace earbudget
