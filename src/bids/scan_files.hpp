#pragma once

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "bids/metadata.hpp"
#include "bids/nifti_header.hpp"
#include "bids/scan_name.hpp"
#include "earbudget/acoustics/units.hpp"
#include "files/error_list.hpp"

namespace earbudget::bids {

/// Files of a folder, so many at most in all folders together. Own choice: a study of a thousand
/// people has some 20 files of each.
inline constexpr std::size_t most_files = 20'000;

/// Folders of MRI (BIDS, modality MRI); what lies in others is of another device.
inline constexpr std::array<std::string_view, 6> folders_of_MRI = {"anat", "func", "dwi",
                                                                   "fmap", "perf", "mrs"};

/// The longest run; what is longer is a mistake of units. Own choice.
inline constexpr Seconds longest_run = Hours(24);

/// A file that was found.
struct FoundFile {
    std::string path;    ///< to be opened by
    std::string folder;  ///< relative to the dataset, "" for the dataset itself
    std::string filename;
    ScanName name;
    std::string ending;

    [[nodiscard]] std::string relative() const {
        return folder.empty() ? filename : folder + '/' + filename;
    }
    /// Without the ending, which tables and files may have differently.
    [[nodiscard]] std::string place() const {
        return folder.empty() ? name.stem : folder + '/' + name.stem;
    }
};

/// What was found in a dataset, or the part of it that was asked for.
struct FoundFiles {
    std::vector<FoundFile> images;
    std::map<std::string, std::vector<FoundFile>> sidecars;  ///< by their folder
    std::vector<FoundFile> tables;                           ///< scans.tsv
    std::map<std::string, std::size_t> ignored;
    bool by_rule = false;  ///< the folders are those of BIDS
    std::string within;    ///< the part that was asked for: "sub-01/ses-01"; "" for all

    void ignore(const std::string& sort) { ++ignored[sort]; }
};

/// Looks through a folder and those in it, and for sidecars also through those above it as far as
/// the dataset reaches. A folder that cannot be read goes to the list of errors.
[[nodiscard]] FoundFiles find_scan_files(const std::string& folder, files::ErrorList& errors);

/// A row of scans.tsv.
struct ScansRow {
    std::optional<Seconds> start = std::nullopt;
    std::optional<Seconds> duration = std::nullopt;
    std::string table = {};
    bool has_image = false;
};

/// The rows of a scans.tsv, by the place of the file that each names.
[[nodiscard]] std::map<std::string, ScansRow> read_scans_table(const FoundFile& table,
                                                               files::TextInputs& inputs,
                                                               files::ErrorList& errors);

/// A time of day, with a date or without: "2026-11-29T10:30:00", "10:30:00.5"; none for others.
[[nodiscard]] std::optional<Seconds> parse_start(std::string_view text);

/// An image with all that is said of it.
struct Scan {
    FoundFile file;
    Metadata metadata = {};
    std::optional<NiftiHeader> header = std::nullopt;  ///< none: there is no image, or no more
    std::optional<ScansRow> row = std::nullopt;
    std::optional<Seconds> start = std::nullopt;

    [[nodiscard]] std::string_view datatype() const;  ///< the innermost folder
};

}  // namespace earbudget::bids
