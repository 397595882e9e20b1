#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bids/scans.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"
#include "starting/drafted_study.hpp"

namespace earbudget::starting {

/// Puts the runs of scans, with the pauses between them, in the place of the study's timeline: a
/// plan for each visit that differs, the longest first, and a study of visits where somebody came
/// several times. Visits with the same runs in the same order, as long by the same source, share a
/// plan, in which each run lasts as long as the longest of them. A run is of the card that the
/// first fitting row of `matches` names, else of the card whose id is its kind, which is added
/// where there is none; its scanner, software and coil go onto the card. Durations that the scans
/// do not tell come from there or from the timeline that stood here; else there are none. Notes
/// say what is missing, and what was left out. Throws InputErrors for more than files may hold.
void add_runs(const std::string& folder, const bids::Scans& scans,
              const std::vector<files::MatchRow>& matches, DraftedStudy& study);

/// Reads scans that exist, and [match] of a site file where one is named, and adds the runs. Throws
/// InputErrors for all mistakes.
void add_scans(const std::string& folder, const std::optional<std::string>& site,
               files::TextInputs& inputs, DraftedStudy& study);

}  // namespace earbudget::starting
