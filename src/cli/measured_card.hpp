#pragma once

#include <string>

#include "cli/options.hpp"
#include "report/reports.hpp"

namespace earbudget::cli {

/// Refuses options of a card that cannot be, before anything is measured. Throws UsageProblem.
void check_card_usage(const MeasureOptions& options);

/// The text of the sequence card of a measured recording, which reads back to its levels. What the
/// card's reader must know goes to standard error as notes. Throws InputError where there is no
/// level, where a channel is clipped, and where the levels contradict each other.
[[nodiscard]] std::string measured_card(const report::RecordingReport& recording,
                                        const MeasureOptions& options);

}  // namespace earbudget::cli
