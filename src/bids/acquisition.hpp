#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bids/scan_files.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget::bids {

/// Files of one acquisition whose starts were written down a little apart. Own choice.
inline constexpr Seconds same_start{2.0};

/// The files of one run: its echoes, parts and reconstructions, and what was computed from them.
struct Acquisition {
    std::string name;
    std::optional<Seconds> start;
    std::vector<const Scan*> scans;
};

/// The runs of a session in the order of their starts, those without behind the others by name.
/// Scans get the starts of one clock: those of scans.tsv, or where it has none those of the
/// sidecars. Images computed from others are passed over.
[[nodiscard]] std::vector<Acquisition> acquisitions_of(std::vector<Scan>& scans, FoundFiles& found);

/// What kind of run a scan is, whoever lay in the scanner and the how manieth it was.
[[nodiscard]] std::string kind_of(const Scan& scan);

}  // namespace earbudget::bids
