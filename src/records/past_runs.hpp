#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/error_list.hpp"
#include "files/text_inputs.hpp"
#include "records/register_done.hpp"
#include "records/session_plan.hpp"
#include "sessions/calendar.hpp"

namespace earbudget::records {

/// A run that was heard some time ago, as a table or scans tell of it.
struct PastRun {
    std::string as = {};
    std::string person = {};   ///< its id in the plan
    std::size_t sequence = 0;  ///< of the plan
    StatedInstant from = {};
    Seconds time{0.0};
    std::optional<std::vector<std::string>> wears = std::nullopt;  ///< none: as the plan says
    SourcePosition at = {};                                        ///< that states it

    [[nodiscard]] Instant to() const;
};

struct PastRuns {
    std::string from;  ///< the table or folder
    bool lower_bound = false;
    std::vector<PastRun> runs = {};
    std::vector<std::string> notes = {};
};

/// What holds for every run where its source does not say.
struct PastDefaults {
    std::optional<std::string> as = std::nullopt;
    std::optional<std::string> person = std::nullopt;  ///< none: the plan's only participant
};

/// Reads a table with the headings as, when (or date and time), sequence, duration, wears, person.
/// What is not understood goes to the list, by row and column as a spreadsheet counts them. Throws
/// InputError for a file that cannot be read as a table.
[[nodiscard]] PastRuns runs_of_table(const std::string& table, SessionPlan& plan,
                                     const sessions::Calendar& calendar,
                                     const PastDefaults& defaults, files::ErrorList& errors);

/// Reads the scans of one session of one person (bids/scans.hpp). Their dates may be shifted, so
/// that `begin` says when the first run began. Runs are of the cards that [match] of a site file
/// says, or else of the sequence that has their name.
[[nodiscard]] PastRuns runs_of_scans(const std::string& folder,
                                     const std::optional<std::string>& match, StatedInstant begin,
                                     SessionPlan& plan, const sessions::Calendar& calendar,
                                     const PastDefaults& defaults, files::ErrorList& errors);

/// The person of the plan that is meant; empty, and a mistake in the list, where that is not clear.
[[nodiscard]] std::string person_meant(const std::optional<std::string>& stated,
                                       const SessionPlan& plan, files::ErrorList& errors);

/// Records them: those of one person on one day are a session, with the plan's background between
/// its runs. All of them or none: throws InputErrors for runs at one time, for those at a time of
/// which something is recorded already, and for those whose level cannot be computed.
[[nodiscard]] std::vector<Imported> record_past_runs(registers::Register& to,
                                                     const SessionPlan& plan,
                                                     const sessions::Calendar& calendar,
                                                     PastRuns runs, const std::string& sha256,
                                                     const std::optional<std::string>& by);

}  // namespace earbudget::records
