#pragma once

#include <vector>

#include "bids/metadata.hpp"
#include "bids/scan_files.hpp"

namespace earbudget::bids {

/// Every scan of what was found, with what its sidecars, its header and its row of scans.tsv say. A
/// sidecar without an image stands for its scan, and so does a row without a file. What is wrong
/// goes to the list of errors.
[[nodiscard]] std::vector<Scan> read_scan_files(FoundFiles& found, Sidecars& sidecars);

}  // namespace earbudget::bids
