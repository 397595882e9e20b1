#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/units.hpp"
#include "earbudget/study/plan.hpp"
#include "files/error_list.hpp"
#include "files/study_files.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::bids {

/// Where a run's duration comes from, and how it came about in words.
struct RunDuration {
    Seconds time{0.0};
    DurationSource source = DurationSource::Stated;
    std::string how = {};  ///< "(64 volumes + 4 discarded) × RepetitionTime 2.5 s"
};

/// With what a run was made, by its sidecars, as people name it; empty where they do not say.
/// Serial numbers and names of stations, which tell the one scanner from all others, are not read.
struct Equipment {
    std::string scanner = {};   ///< ManufacturersModelName
    std::string software = {};  ///< SoftwareVersions
    std::string coil = {};      ///< ReceiveCoilName
};

/// One run of the scanner: an image, or several of one acquisition.
struct Run {
    std::string name;  ///< of its first file, without folders and ending
    /// What kind of run it is, whoever lay in the scanner and the how manieth it was:
    /// "task-rest_bold".
    std::string kind;
    std::vector<std::string> files;  ///< all of them, relative to the dataset
    /// Since some day, of which nothing but differences is known; none: not known.
    std::optional<Seconds> start = std::nullopt;
    std::optional<RunDuration> duration = std::nullopt;  ///< none: none is known
    std::string missing = {};  ///< what could be stated where no duration is known
    Equipment equipment = {};
};

/// The runs of one visit of one person, in the order in which they ran as far as that is known.
struct Session {
    std::string name;  ///< "sub-01/ses-02"; "" of a folder that knows none
    std::vector<Run> runs = {};
    std::vector<std::string> notes = {};

    /// All runs whose duration is known.
    [[nodiscard]] Seconds time() const;
};

/// A folder of scans that exist.
struct Scans {
    std::vector<Session> sessions = {};  ///< each has a run
    std::map<std::string, std::size_t> ignored =
        {};  ///< how many files of which sort were passed over
};

/// What is always true of scans that were kept.
inline constexpr std::string_view scans_are_a_lower_bound =
    "scans that were kept are a lower bound: runs that were stopped, failed, repeated or only "
    "calibrated are missing";

/// Reads a dataset by the Brain Imaging Data Structure, the folder of one subject or session of it,
/// or a folder as dcm2niix fills it, also with sidecars alone.
///
/// The duration of a run is that of scans.tsv; else AcquisitionDuration; else that of its volumes
/// with those that the scanner discarded, by RepetitionTime where that is the time of a volume, or
/// VolumeTiming; else the time to the next start, which it is at most. All mistakes go to the list
/// of errors: files that cannot be read, sidecars that are no JSON, headers cut off, two sidecars
/// of which neither is nearer.
[[nodiscard]] Scans read_scans(const std::string& folder, files::TextInputs& inputs,
                               files::ErrorList& errors);

/// The row of [match] that a run fits, by any of its files' names, with or without ending and
/// folders, or by its kind; null: none.
[[nodiscard]] const files::MatchRow* match_of(const Run& run,
                                              const std::vector<files::MatchRow>& rows);

}  // namespace earbudget::bids
