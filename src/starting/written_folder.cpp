#include <cerrno>
#include <filesystem>
#include <string>
#include <system_error>
#include <vector>

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/error_list.hpp"
#include "files/output.hpp"
#include "starting/drafted_study.hpp"

namespace earbudget::starting {

namespace {

constexpr mode_t for_everybody = 0777;  // less what the user's mask takes

/// Folders that are gone again, if they are still empty, unless they are kept.
class MadeFolders {
  public:
    MadeFolders() = default;
    MadeFolders(const MadeFolders&) = delete;
    MadeFolders& operator=(const MadeFolders&) = delete;
    ~MadeFolders() {
        for (auto folder = made_.rbegin(); !kept_ && folder != made_.rend(); ++folder)
            ::rmdir(folder->c_str());
    }

    void make(const std::string& folder) {
        made_.reserve(made_.size() + 1);
        if (::mkdir(folder.c_str(), for_everybody) == 0) {
            made_.push_back(folder);
        } else {
            files::refuse_place(folder);
        }
    }

    void keep() { kept_ = true; }

  private:
    std::vector<std::string> made_ = {};
    bool kept_ = false;
};

/// Whether anything has this name, a link that leads nowhere too.
bool is_there(const std::string& path) {
    struct stat found = {};
    return ::lstat(path.c_str(), &found) == 0;
}

std::string in_folder(const std::string& folder, std::string_view name) {
    return (std::filesystem::path(folder) / name).string();
}

}  // namespace

void refuse_existing(const std::string& folder) {
    if (folder.empty())
        throw InputError({folder},
                         "the folder has no name; accepted: the name of a folder to be made");
    std::error_code ignored;
    if (!is_there(folder)) return;
    if (!std::filesystem::is_directory(folder, ignored)) {
        throw InputError({folder},
                         "this exists and is no folder; accepted: the name of a folder to be made");
    }
    files::ErrorList errors;
    for (const std::string_view name :
         {name_of_plan, name_of_visits, name_of_catalogue, name_of_site, name_of_cards}) {
        const std::string path = in_folder(folder, name);
        if (is_there(path))
            errors.add({{path},
                        "this exists, and nothing is written over it; accepted: the name of a "
                        "folder to be made, or of one without it"});
    }
    errors.throw_if_any();
}

void write_study(const std::string& folder, const std::vector<files::OutputFile>& files) {
    refuse_existing(folder);
    const files::InterruptsWait until_all_is_written;
    MadeFolders made;
    if (!is_there(folder)) made.make(folder);
    made.make(in_folder(folder, name_of_cards));
    std::vector<files::OutputFile> places;
    for (const files::OutputFile& file : files)
        places.push_back({in_folder(folder, file.path), file.content});
    files::OutputFiles outputs(places, false);
    outputs.move_to_places();
    made.keep();
}

}  // namespace earbudget::starting
