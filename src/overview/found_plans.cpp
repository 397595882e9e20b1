#include "overview/found_plans.hpp"

#include <algorithm>
#include <filesystem>
#include <system_error>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/study_files.hpp"

namespace earbudget::overview {

namespace {

namespace fs = std::filesystem;

bool is_hidden(const fs::path& path) { return path.filename().string().starts_with('.'); }

/// Looks through folders, and remembers what was found already.
class PlanFinder {
  public:
    PlanFinder(files::TextInputs& inputs, files::ErrorList& errors)
        : inputs_(inputs), errors_(errors) {}

    void add_file(const std::string& path) {
        std::error_code ignored;
        const fs::path real = fs::weakly_canonical(path, ignored);
        if (seen_.insert(ignored ? path : real.string()).second) found_.files.push_back(path);
    }

    void add_folder(const std::string& folder) {
        const std::size_t before = found_.files.size() + errors_.size();
        const std::size_t known = seen_.size();
        for (const std::string& file : files_below(folder)) {
            if (fs::path(file).extension() != ".toml") {
                ++found_.left_out;
                continue;
            }
            errors_.attempt([&] {
                const auto document = files::read_toml(file, inputs_);
                const std::string_view kind = files::kind_of(document);
                if (kind == "plan" || kind == "study") {
                    add_file(file);
                } else {
                    ++found_.left_out;
                }
            });
        }
        const bool any = found_.files.size() + errors_.size() > before || seen_.size() > known;
        if (!any && !knows_one_below(folder)) {
            errors_.add({{folder},
                         "there is no plan in this folder nor below it; accepted: a folder with at "
                         "least one file *.toml of kind = \"plan\" or \"study\""});
        }
    }

    [[nodiscard]] FoundPlans take() && { return std::move(found_); }

  private:
    /// Whether what the folder holds was found by an earlier path.
    [[nodiscard]] bool knows_one_below(const std::string& folder) const {
        std::error_code ignored;
        const std::string real = fs::weakly_canonical(folder, ignored).string() + "/";
        return std::ranges::any_of(seen_,
                                   [&](const std::string& file) { return file.starts_with(real); });
    }

    /// By their names, hidden ones left out.
    std::vector<std::string> files_below(const std::string& folder) {
        std::vector<std::string> all;
        std::error_code failure;
        fs::recursive_directory_iterator entry(folder, failure);
        for (; !failure && entry != fs::recursive_directory_iterator(); entry.increment(failure)) {
            std::error_code ignored;
            const bool is_folder = entry->is_directory(ignored);
            if (is_hidden(entry->path())) {
                if (is_folder) entry.disable_recursion_pending();
                continue;
            }
            if (is_folder) continue;
            all.push_back(entry->path().string());
            if (all.size() > most_files_looked_at) {
                throw InputError({folder},
                                 fmt::format("there are more than {} files in this folder and "
                                             "below it; accepted: folders with fewer",
                                             most_files_looked_at));
            }
        }
        if (failure) {
            if (files::is_machine_fault(failure.value())) throw std::system_error(failure, folder);
            throw InputError({folder}, fmt::format("cannot look through this folder: {}; accepted: "
                                                   "folders that may be read",
                                                   failure.message()));
        }
        found_.folders.insert(folder);
        std::ranges::sort(all);
        return all;
    }

    files::TextInputs& inputs_;
    files::ErrorList& errors_;
    FoundPlans found_ = {};
    std::set<std::string> seen_ = {};  ///< by their real names
};

}  // namespace

FoundPlans find_plans(const std::vector<std::string>& paths, files::TextInputs& inputs,
                      files::ErrorList& errors) {
    PlanFinder finder(inputs, errors);
    for (const std::string& path : paths) {
        std::error_code ignored;
        if (fs::is_directory(path, ignored)) {
            errors.attempt([&] { finder.add_folder(path); });
        } else {
            finder.add_file(path);
        }
    }
    return std::move(finder).take();
}

}  // namespace earbudget::overview
