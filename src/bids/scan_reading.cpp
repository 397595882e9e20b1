#include "bids/scan_reading.hpp"

#include <array>
#include <filesystem>
#include <set>
#include <system_error>

#include <fmt/format.h>

#include "files/open_file.hpp"

namespace earbudget::bids {

namespace {

/// Suffixes of JSON files that tell of something else than an image.
constexpr std::array<std::string_view, 9> no_images = {"events",   "physio",     "stim",
                                                       "scans",    "sessions",   "participants",
                                                       "channels", "aslcontext", "beh"};
/// Keys by which a JSON file of any name is told to be of a scan.
constexpr std::array<std::string_view, 5> keys_of_scans = {
    "RepetitionTime", "EchoTime", "MagneticFieldStrength", "AcquisitionTime",
    "AcquisitionDuration"};

/// Puts together what the files of a dataset say of each scan.
class Reading {
  public:
    Reading(FoundFiles& found, Sidecars& sidecars)
        : errors_(sidecars.errors()), sidecars_(sidecars), found_(found) {}

    /// Every scan with what is said of it, but not when it began.
    std::vector<Scan> scans() {
        std::vector<Scan> scans;
        for (const FoundFile& image : found_.images) {
            if (found_.by_rule && !image.name.has("sub")) {
                found_.ignore("image outside of subjects");
                continue;
            }
            scans.push_back({.file = image, .metadata = metadata_of(image)});
            read_header(scans.back());
        }
        add_scans_without_image(scans);
        add_rows(scans);
        for (Scan& scan : scans)
            if (scan.row) scan.start = scan.row->start;
        return scans;
    }

  private:
    /// By the inheritance principle: of each folder on the way to the image at most one sidecar.
    Metadata metadata_of(const FoundFile& image) {
        Metadata metadata;
        std::size_t end = 0;
        for (bool last = false; !last;) {
            last = end == image.folder.size();
            if (const FoundFile* sidecar = applicable(image, image.folder.substr(0, end))) {
                used_.insert(sidecar->path);
                metadata.override_with(sidecars_.values_of(sidecar->path));
            }
            end = std::min(image.folder.find('/', end + 1), image.folder.size());
        }
        return metadata;
    }

    const FoundFile* applicable(const FoundFile& image, const std::string& folder) {
        const auto sidecars = found_.sidecars.find(folder);
        if (sidecars == found_.sidecars.end()) return nullptr;
        const FoundFile* first = nullptr;
        const bool by_rule = image.name.has("sub");
        for (const FoundFile& sidecar : sidecars->second) {
            const bool applies =
                by_rule ? sidecar.name.applies_to(image.name)
                        : folder == image.folder && sidecar.name.stem == image.name.stem;
            if (!applies) continue;
            if (first) {
                errors_.add({{sidecar.path},
                             fmt::format("this and {} apply to {}, and neither is nearer; "
                                         "accepted: one of them",
                                         first->path, image.filename)});
                return first;
            }
            first = &sidecar;
        }
        return first;
    }

    void read_header(Scan& scan) {
        try {
            scan.header = read_nifti_header(scan.file.path);
        } catch (const NoNifti& failure) {
            errors_.add({{scan.file.path},
                         fmt::format("{}; accepted: an image of NIfTI-1 or NIfTI-2, compressed "
                                     "with gzip or not, or its sidecar alone",
                                     failure.what())});
        } catch (const files::CannotRead& failure) {
            if (files::is_machine_fault(failure.error()))
                throw std::system_error(failure.error(), std::generic_category(), scan.file.path);
            // A link whose file was not fetched: what its sidecar says may do.
            if (std::error_code ignored; !std::filesystem::exists(scan.file.path, ignored)) return;
            errors_.add({{scan.file.path},
                         fmt::format("cannot be read: {}; accepted: a readable image, or its "
                                     "sidecar alone",
                                     failure.what())});
        }
    }

    bool is_of_scan(const FoundFile& sidecar) {
        if (used_.contains(sidecar.path)) return false;
        if (found_.by_rule) {
            const Scan scan{.file = sidecar};
            return sidecar.name.has("sub") && !is_one_of(sidecar.name.suffix, no_images) &&
                   is_one_of(scan.datatype(), std::array<std::string_view, 6>{
                                                  "anat", "func", "dwi", "fmap", "perf", "mrs"});
        }
        const Sidecars::Values& values = sidecars_.values_of(sidecar.path);
        return std::ranges::any_of(keys_of_scans,
                                   [&](std::string_view key) { return values.contains(key); });
    }

    /// A sidecar that is about no image that is there stands for the scan itself.
    void add_scans_without_image(std::vector<Scan>& scans) {
        for (const auto& [folder, sidecars] : found_.sidecars) {
            for (const FoundFile& sidecar : sidecars) {
                if (!folder.starts_with(found_.within) || !is_of_scan(sidecar)) continue;
                scans.push_back({.file = sidecar, .metadata = metadata_of(sidecar)});
            }
        }
    }

    void add_rows(std::vector<Scan>& scans) {
        std::map<std::string, ScansRow> rows;
        for (const FoundFile& table : found_.tables)
            errors_.attempt(
                [&] { rows.merge(read_scans_table(table, sidecars_.inputs(), errors_)); });
        for (Scan& scan : scans) {
            const auto row = rows.find(scan.file.place());
            if (row == rows.end()) continue;
            scan.row = row->second;
            rows.erase(row);
        }
        for (const auto& [place, row] : rows) {
            // It was acquired, whatever became of it.
            if (!row.has_image || !place.starts_with(found_.within)) continue;
            const std::size_t slash = place.rfind('/');
            const std::string folder = slash == place.npos ? "" : place.substr(0, slash);
            const std::string stem = place.substr(slash == place.npos ? 0 : slash + 1);
            FoundFile file{row.table, folder, stem, scan_name_of(stem), ""};
            scans.push_back({.file = file, .metadata = metadata_of(file), .row = row});
        }
    }

    files::ErrorList& errors_;
    Sidecars& sidecars_;
    FoundFiles& found_;
    std::set<std::string> used_;
};

}  // namespace

std::vector<Scan> read_scan_files(FoundFiles& found, Sidecars& sidecars) {
    return Reading(found, sidecars).scans();
}

}  // namespace earbudget::bids
