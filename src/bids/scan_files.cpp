#include "bids/scan_files.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <system_error>

#include <fmt/format.h>

#include "files/open_file.hpp"
#include "files/text_inputs.hpp"

namespace earbudget::bids {

namespace {

namespace fs = std::filesystem;

/// Folders of a dataset that hold no scans as they came from the scanner.
constexpr std::array<std::string_view, 5> other_folders = {"derivatives", "sourcedata", "code",
                                                           "stimuli", "phenotype"};
/// Images that nobody acquired.
constexpr std::array<std::string_view, 4> drawn_images = {"mask", "dseg", "probseg", "defacemask"};

bool is_of_subject(std::string_view folder) { return folder.starts_with("sub-"); }
bool is_of_session(std::string_view folder) { return folder.starts_with("ses-"); }

std::string last_part(const std::string& folder) {
    return folder.substr(folder.rfind('/') == folder.npos ? 0 : folder.rfind('/') + 1);
}

/// The dataset that a folder belongs to, and where in it the folder is.
struct Place {
    fs::path dataset;
    std::string within;
};

Place place_of(const std::string& folder) {
    fs::path path = fs::path(folder).lexically_normal();
    if (path.filename().empty() && path.has_parent_path()) path = path.parent_path();
    if (path.filename() == "." || path.filename() == "..") {
        std::error_code ignored;
        const fs::path known = fs::weakly_canonical(path, ignored);
        const std::string last = known.filename().string();
        if (is_of_subject(last) || is_of_session(last)) path = known;
    }
    const std::string name = path.filename().string();
    const fs::path parent = path.has_parent_path() ? path.parent_path() : fs::path(".");
    if (is_of_subject(name)) return {parent, name};
    const std::string above = parent.filename().string();
    if (is_of_session(name) && is_of_subject(above)) {
        const fs::path dataset = parent.has_parent_path() ? parent.parent_path() : fs::path(".");
        return {dataset, above + '/' + name};
    }
    return {path, ""};
}

class Search {
  public:
    Search(std::string asked, FoundFiles& found, files::ErrorList& errors)
        : asked_(std::move(asked)), found_(found), errors_(errors) {}

    /// `whole` is false for folders above the one that was asked for.
    void look_into(const fs::path& dataset, const std::string& folder, bool whole) {
        for (const fs::directory_entry& entry : entries_of(dataset / folder)) {
            std::error_code ignored;
            const std::string name = entry.path().filename().string();
            if (name.starts_with('.')) continue;
            const bool is_folder = entry.is_directory(ignored);
            if (!is_folder) {
                take(entry.path(), folder, whole);
            } else if (whole) {
                const std::string inside = folder.empty() ? name : folder + '/' + name;
                if (folder.empty() && is_one_of(name, other_folders)) {
                    found_.ignore("folder " + name);
                } else if (entry.is_symlink(ignored)) {
                    found_.ignore("link to a folder");  // which may lead around in a circle
                } else {
                    if (is_of_subject(name)) found_.by_rule = true;
                    look_into(dataset, inside, true);
                }
            }
        }
    }

  private:
    std::vector<fs::directory_entry> entries_of(const fs::path& folder) {
        std::error_code failure;
        fs::directory_iterator entry(folder, failure);
        std::vector<fs::directory_entry> entries;
        for (; !failure && entry != fs::directory_iterator(); entry.increment(failure)) {
            entries.push_back(*entry);
            if (++seen_ > most_files) refuse_more();
        }
        if (failure) {
            if (files::is_machine_fault(failure.value()))
                throw std::system_error(failure, folder.string());
            errors_.add({{folder.string()},
                         fmt::format("cannot read this folder: {}; accepted: one whose files can "
                                     "be read",
                                     failure.message())});
        }
        std::ranges::sort(entries, {}, [](const auto& each) { return each.path(); });
        return entries;
    }

    [[noreturn]] void refuse_more() const {
        throw InputError({asked_}, fmt::format("more than {} files; accepted: the folder of a "
                                               "subject or a session",
                                               most_files));
    }

    void take(const fs::path& path, const std::string& folder, bool whole) {
        const std::string filename = path.filename().string();
        auto [stem, ending] = stem_and_ending(filename);
        FoundFile file{path.string(), folder, filename, scan_name_of(stem), ending};
        if (ending == ".json") {
            found_.sidecars[folder].push_back(std::move(file));
        } else if (ending == ".tsv" && file.name.suffix == "scans" && file.name.has("sub")) {
            found_.tables.push_back(std::move(file));
        } else if (!whole) {
            return;
        } else if (ending == ".nii" || ending == ".nii.gz") {
            take_image(std::move(file));
        } else {
            found_.ignore(file.name.is_by_rule() ? file.name.suffix + ending
                          : ending.empty()       ? filename
                                                 : "*" + ending);
        }
    }

    void take_image(FoundFile file) {
        const std::string datatype = last_part(file.folder);
        const bool is_in_datatype = file.name.has("sub") && !is_of_session(datatype) &&
                                    !is_of_subject(datatype) && !datatype.empty();
        if (is_in_datatype && !is_one_of(datatype, folders_of_MRI)) {
            found_.ignore("image in a folder " + datatype);
        } else if (is_one_of(file.name.suffix, drawn_images)) {
            found_.ignore(file.name.suffix + " image");
        } else {
            found_.images.push_back(std::move(file));
        }
    }

    std::string asked_;
    FoundFiles& found_;
    files::ErrorList& errors_;
    std::size_t seen_ = 0;
};

void check_is_folder(const std::string& folder) {
    std::error_code failure;
    const fs::file_status status = fs::status(folder, failure);
    if (fs::is_directory(status)) return;
    const auto is_folder = [](const fs::path& other) {
        std::error_code ignored;
        return fs::is_directory(other, ignored);
    };
    throw InputError({folder},
                     fmt::format("{}; accepted: a dataset by BIDS, the folder of a subject or a "
                                 "session of it, or what dcm2niix wrote",
                                 fs::exists(status)
                                     ? std::string("this is no folder")
                                     : "no such folder" + files::nearest_there(folder, is_folder)));
}

}  // namespace

std::string_view Scan::datatype() const {
    const std::size_t slash = file.folder.rfind('/');
    return std::string_view(file.folder).substr(slash == file.folder.npos ? 0 : slash + 1);
}

FoundFiles find_scan_files(const std::string& folder, files::ErrorList& errors) {
    check_is_folder(folder);
    const Place place = place_of(folder);
    FoundFiles found;
    found.by_rule = !place.within.empty();
    found.within = place.within;
    Search search(folder, found, errors);
    // Sidecars above it, and the table of its scans, count too.
    for (std::size_t end = 0; !place.within.empty() && end != place.within.npos;) {
        search.look_into(place.dataset, place.within.substr(0, end), false);
        end = place.within.find('/', end + 1);
    }
    search.look_into(place.dataset, place.within, true);
    return found;
}

}  // namespace earbudget::bids
