#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bids/scans.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/study/catalogue.hpp"
#include "earbudget/study/plan.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/output.hpp"
#include "files/study_files.hpp"
#include "tables/unit_tables.hpp"

namespace earbudget::starting {

// A study before it is written: what a unit's tables and scans say of it. Whoever reads those fills
// the parts that they know; add_examples invents the rest and marks it, and files_of writes it.

/// A sequence, which becomes a card.
struct DraftedSequence {
    std::string id;
    std::string title;
    std::optional<SoundLevels> levels = std::nullopt;  ///< none: to be invented
    Origin origin = {};                                ///< of the levels
    bool invented = false;                             ///< the levels are an example
    bids::Equipment equipment = {};                    ///< of scans that exist; empty: not known
};

/// A row of the timeline, in the order in which it runs.
struct DraftedRun {
    std::string sequence = {};                       ///< id; empty: a rest
    std::optional<Seconds> duration = std::nullopt;  ///< none: to be invented
    unsigned repeat = 1;
    std::string remark = {};  ///< written beside the duration: where it comes from
    bool invented = false;    ///< the duration is an example
    std::optional<DurationSource> duration_from = std::nullopt;  ///< of scans that exist
};

/// A protector, which becomes an entry of the catalogue.
struct DraftedProtector {
    Protector protector;
    std::string remark = {};  ///< written above it
};

struct DraftedPerson {
    std::string id;
    Role role = Role::Participant;
    std::vector<std::string> wears = {};  ///< ids of protectors
    bool invented = false;                ///< the person is an example
    std::optional<AgeGroup> age_group = std::nullopt;
};

/// The names of what a study consists of, in its folder.
inline constexpr std::string_view name_of_plan = "plan.toml";
inline constexpr std::string_view name_of_visits = "study.toml";
inline constexpr std::string_view name_of_catalogue = "protectors.toml";
inline constexpr std::string_view name_of_site = "site.toml";
inline constexpr std::string_view name_of_cards = "cards";

/// What runs on one day, which becomes a plan; everything else all plans share.
struct DraftedPlan {
    std::string name = std::string(name_of_plan);  ///< of its file
    std::string title = {};                        ///< empty: that of the study
    std::vector<DraftedRun> timeline = {};
    std::vector<std::string> about_timeline = {};  ///< written above it
    std::vector<std::string> sessions = {};        ///< of scans, all that it stands for
};

/// A day of people who came several times.
struct DraftedVisit {
    std::string plan;  ///< name of its file
    std::string title;
    std::optional<unsigned> days_apart = std::nullopt;  ///< from the one before; none: not known
};

/// The visits of people who came several times, which become a study of visits.
struct DraftedVisits {
    std::string name;  ///< of its file
    std::vector<std::string> participants = {};
    std::vector<DraftedVisit> visits = {};
};

/// A run of scans that exist of which something is not known.
struct ScannedRun {
    std::string session;
    std::string run;
    std::string sequence;      ///< id of the card that it is of
    std::string missing = {};  ///< what could be stated
};

/// What is empty is not known.
struct DraftedStudy {
    std::string title;
    std::vector<DraftedSequence> sequences = {};
    std::vector<DraftedPlan> plans = {DraftedPlan{}};  ///< at least one, plan.toml first
    std::vector<DraftedVisits> visits = {};
    std::vector<DraftedProtector> protectors = {};
    std::vector<DraftedPerson> people = {};
    bool invented_catalogue = false;
    std::vector<files::MatchRow> matches = {};        ///< of scans, for the next ones
    std::vector<ScannedRun> unmatched = {};           ///< by no row of [match]
    std::vector<ScannedRun> without_duration = {};    ///< nor stated anywhere else
    std::map<std::string, std::size_t> ignored = {};  ///< files of scans that are no runs, by sort
    std::vector<std::string> taken_as = {};  ///< how what is not certain in tables was taken
    /// What whoever reads the answer should know: ids that were made, durations that were guessed.
    std::vector<std::string> notes = {};
};

/// Puts examples where the study says nothing: a protocol, levels of sequences without, protectors,
/// people. All of them are invented; no real product or protocol is meant.
void add_examples(DraftedStudy& study);

/// Puts what tables of a unit say into a study. What does not fit together goes to the list: one id
/// with two sets of levels, somebody who wears what is in no table, more than files may hold.
void add_tables(const tables::UnitTables& tables, DraftedStudy& study, files::ErrorList& errors);

/// The examples of add_examples.
[[nodiscard]] std::vector<DraftedSequence> example_sequences();
[[nodiscard]] std::vector<DraftedRun> example_timeline();
[[nodiscard]] std::vector<DraftedProtector> example_protectors();
/// Who wears the first of these.
[[nodiscard]] std::vector<DraftedPerson> example_people(
    const std::vector<DraftedProtector>& protectors);
/// The levels of a sequence of which nothing is known.
[[nodiscard]] SoundLevels example_levels();

/// What stands behind each value that was invented.
inline constexpr std::string_view marks_invented = "invented: put yours here";

/// The files of a study without anything that is not known, by their names within its folder.
[[nodiscard]] std::vector<files::OutputFile> files_of(const DraftedStudy& study);

/// Refuses a folder in which anything of a study is already, all of it by name, and what is no
/// folder. Throws InputErrors or InputError.
void refuse_existing(const std::string& folder);

/// Writes files into a folder, which is made where there is none, with the folder of cards: all of
/// them or none, and none over anything that exists. Throws InputError for what exists and for a
/// place that cannot be written to, std::system_error for a fault of the machine.
void write_study(const std::string& folder, const std::vector<files::OutputFile>& files);

}  // namespace earbudget::starting
