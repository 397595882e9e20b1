#include <cerrno>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <system_error>

#include <fcntl.h>
#include <fmt/format.h>
#include <linux/capability.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/open_file.hpp"
#include "files/output.hpp"
#include "files/study_files.hpp"

namespace earbudget::files {

namespace {

/// Where the folder is there and yet nothing can be made in it.
std::string words_of(int error, const std::string& place) {
    std::error_code ignored;
    if (error != ENOENT || place.empty()) return std::generic_category().message(error);
    return std::filesystem::is_directory(folder_of(place), ignored)
               ? std::string("this folder takes no files")
               : fmt::format("there is no folder \"{}\"", folder_of(place));
}

using std::filesystem::path;

void check_folder_of(const std::string& file) {
    if (file.empty()) {
        errno = ENOENT;
    } else if (::access(folder_of(file).c_str(), W_OK | X_OK) == 0) {
        return;
    }
    refuse_place(file);
}

bool has_attribute(const std::string& file, std::uint64_t attribute) {
    struct statx found = {};
    return ::statx(AT_FDCWD, file.c_str(), AT_SYMLINK_NOFOLLOW, STATX_BASIC_STATS, &found) == 0 &&
           (found.stx_attributes & attribute) != 0;
}

/// As the administrator mostly may.
bool may_act_as_any_owner() {
    __user_cap_header_struct version{_LINUX_CAPABILITY_VERSION_3, 0};
    __user_cap_data_struct capabilities[_LINUX_CAPABILITY_U32S_3] = {};
    return ::syscall(SYS_capget, &version, capabilities) == 0 &&
           (capabilities[0].effective & (1U << CAP_FOWNER)) != 0;
}

/// Why the system would not let a file be replaced, where it is sure not to.
std::optional<std::string> why_kept(const std::string& file, const struct stat& standing) {
    if (has_attribute(file, STATX_ATTR_IMMUTABLE | STATX_ATTR_APPEND)) return "is made immutable";
    if (has_attribute(file, STATX_ATTR_MOUNT_ROOT)) return "has something mounted on it";
    struct stat folder = {};
    const uid_t user = ::geteuid();
    const bool is_sticky = ::stat(folder_of(file).c_str(), &folder) == 0 &&
                           (folder.st_mode & S_ISVTX) != 0 && user != folder.st_uid &&
                           user != standing.st_uid && !may_act_as_any_owner();
    if (is_sticky) return "belongs to another, in a folder where only its owner may replace it";
    return std::nullopt;
}

void refuse_irregular(const std::string& file, const struct stat& standing) {
    if (S_ISREG(standing.st_mode)) return;
    if (S_ISLNK(standing.st_mode)) {
        throw InputError({file},
                         "this is a symbolic link, which is neither followed nor replaced; "
                         "accepted: the name of a file to write, such as the one it points to");
    }
    throw InputError({file}, "this is not a regular file; accepted: the name of a file to write");
}

/// The file under a name, a link followed; none where there is none.
std::optional<struct stat> found_at(const std::string& file) {
    struct stat found = {};
    return ::stat(file.c_str(), &found) == 0 ? std::optional(found) : std::nullopt;
}

/// Whether two names are those of one file, or would be.
bool are_same(const std::string& one, const std::string& other) {
    const auto first = found_at(one);
    const auto second = found_at(other);
    if (first && second) return is_same(*first, *second);
    const auto first_folder = found_at(folder_of(one));
    const auto second_folder = found_at(folder_of(other));
    return path(one).filename() == path(other).filename() && first_folder && second_folder &&
           is_same(*first_folder, *second_folder);
}

/// The first that was read, or could have been, of which `is_meant` is true.
std::optional<std::string> find_input(const ReadBefore& inputs,
                                      const std::function<bool(const std::string&)>& is_meant) {
    for (const std::string& input : inputs.files)
        if (is_meant(input)) return fmt::format("\"{}\", which was read", input);
    for (const std::string& folder : inputs.folders) {
        std::error_code failure;
        std::filesystem::directory_iterator entry(folder, failure);
        for (; !failure && entry != std::filesystem::directory_iterator();
             entry.increment(failure)) {
            if (!is_read_in_folder(entry->path()) || !is_meant(entry->path().string())) continue;
            return fmt::format("\"{}\", in a folder whose cards were read", entry->path().string());
        }
        if (failure && is_machine_fault(failure.value())) throw std::system_error(failure, folder);
    }
    return std::nullopt;
}

}  // namespace

void fail_to_write(const std::string& place) {
    const int error = errno;
    throw std::system_error(error, std::generic_category(),
                            fmt::format("cannot write \"{}\"", place));
}

void refuse_place(const std::string& place, const std::string& or_else) {
    const int error = errno;
    if (is_machine_fault(error)) {
        errno = error;
        fail_to_write(place);
    }
    throw InputError(
        {place}, fmt::format("cannot write here: {}; accepted: a place that can be written to{}",
                             words_of(error, place), or_else));
}

void check_can_write(const std::string& file, bool force) {
    struct stat standing = {};
    if (::lstat(file.c_str(), &standing) != 0) {
        if (errno != ENOENT) refuse_place(file);
        check_folder_of(file);
        return;
    }
    refuse_irregular(file, standing);
    if (!force) {
        throw InputError({file},
                         "the file exists; accepted: another name, or --force to replace it");
    }
    check_folder_of(file);
    if (const auto why = why_kept(file, standing)) {
        throw InputError(
            {file},
            fmt::format("the file cannot be replaced: it {}; accepted: another name", *why));
    }
}

void check_all_different(const std::vector<std::string>& outputs) {
    for (std::size_t n = 0; n < outputs.size(); ++n) {
        for (std::size_t k = 0; k < n; ++k) {
            if (!are_same(outputs[n], outputs[k])) continue;
            throw InputError(
                {outputs[n]},
                fmt::format("this is the same file as \"{}\"; accepted: a name for each output",
                            outputs[k]));
        }
    }
}

void check_is_no_input(const std::string& file, const ReadBefore& inputs) {
    const auto output = found_at(file);
    if (!output) return;
    const auto input = find_input(inputs, [&output](const std::string& name) {
        const auto found = found_at(name);
        return found && is_same(*output, *found);
    });
    if (input) throw InputError({file}, fmt::format("this is {}; accepted: another name", *input));
}

void check_standard_output(const std::vector<std::string>& outputs, const ReadBefore& inputs) {
    struct stat out = {};
    if (::fstat(STDOUT_FILENO, &out) != 0 || !S_ISREG(out.st_mode)) return;
    const auto is_there = [&out](const std::string& name) {
        const auto found = found_at(name);
        return found && is_same(out, *found);
    };
    for (const std::string& output : outputs) {
        if (!is_there(output)) continue;
        throw InputError({output},
                         "standard output goes into this file too; accepted: a name for each");
    }
    if (const auto input = find_input(inputs, is_there)) {
        throw InputError({"standard output"},
                         fmt::format("goes into {}; accepted: another file", *input));
    }
}

}  // namespace earbudget::files
