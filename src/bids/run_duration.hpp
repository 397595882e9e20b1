#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bids/metadata.hpp"
#include "bids/scan_files.hpp"
#include "bids/scans.hpp"

namespace earbudget::bids {

/// The longest time to the next start that is taken as a bound of a run. Own choice: hardly a run
/// lasts longer, and a longer time says that somebody had left.
inline constexpr Seconds longest_gap = Hours(2);

/// What was found of a scan's duration.
struct FoundDuration {
    std::optional<RunDuration> duration = std::nullopt;
    std::vector<std::string> notes = {};  ///< what could have been meant otherwise
};

/// The duration of a scan by its row in scans.tsv, its sidecars and its header. `gap` is the time
/// to the next start, where it is known, against which an AcquisitionDuration is held.
[[nodiscard]] FoundDuration duration_of(const Scan& scan, std::optional<Seconds> gap,
                                        Sidecars& sidecars);

/// The time to the next start as a bound of a run.
[[nodiscard]] std::optional<RunDuration> duration_until(std::optional<Seconds> gap);

/// What could be stated for a scan of which no duration is known.
[[nodiscard]] std::string missing_words(const Scan& scan);

/// Whether RepetitionTime is the time of a volume.
[[nodiscard]] bool repeats_volumes(const Scan& scan);

}  // namespace earbudget::bids
