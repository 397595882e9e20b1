#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "bids/scans.hpp"
#include "files/study_files.hpp"
#include "starting/drafted_study.hpp"
#include "starting/scanned_visits.hpp"

namespace earbudget::starting {

/// Makes timelines of visits, and of a study the cards that their runs are of. What is not known of
/// them it adds to the study's lists.
class ScannedTimelines {
  public:
    /// The durations that the study's own timeline states are those of runs whose scans do not tell
    /// any.
    ScannedTimelines(const std::vector<files::MatchRow>& matches, DraftedStudy& study);

    /// The runs of a visit with the pauses between them.
    [[nodiscard]] std::vector<DraftedRun> timeline_of(const ScannedVisit& visit);

    /// Once all visits are read: what made the runs goes onto their cards where it is one, and
    /// notes say what is missing, matched by nothing, or made by several.
    void finish();

  private:
    void add_run(const bids::Session& session, const bids::Run& run,
                 std::vector<DraftedRun>& timeline);
    void take_stated(DraftedRun& row, const files::MatchRow* match, std::string& how) const;
    void add_rest(const bids::Run& run, const bids::Run& next, bool next_session,
                  std::vector<DraftedRun>& timeline);
    void add_card(const bids::Session& session, const bids::Run& run, const files::MatchRow* match,
                  const std::string& id);
    void note_equipment();

    const std::vector<files::MatchRow>& matches_;
    DraftedStudy& study_;
    std::map<std::string, Seconds> stated_;
    std::set<std::string> in_tables_;  ///< ids of sequences
    /// By card: what its runs were made with.
    struct Made {
        std::set<std::string> scanners = {}, software = {}, coils = {};
    };
    std::map<std::string, Made> made_;
};

/// So many of some names, and how many more there are.
[[nodiscard]] std::string few_of(const std::vector<std::string>& names);

}  // namespace earbudget::starting
