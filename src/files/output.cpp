#include "files/output.hpp"

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"

namespace earbudget::files {

namespace {

[[noreturn]] void fail(const std::string& what) {
    throw std::system_error(errno, std::generic_category(), what);
}

void write_all(int file, std::string_view content, const std::string& path) {
    while (!content.empty()) {
        const ssize_t written = ::write(file, content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) fail(fmt::format("cannot write \"{}\"", path));
        content.remove_prefix(static_cast<std::size_t>(written));
    }
}

// A file that is removed again unless it is moved to its place.
class DraftFile {
  public:
    explicit DraftFile(const std::string& place) : place_(place), path_(place + ".XXXXXX") {
        file_ = ::mkstemp(path_.data());
        if (file_ >= 0) return;
        if (errno == ENOSPC || errno == EDQUOT || errno == EMFILE || errno == EIO) {
            fail(fmt::format("cannot write \"{}\"", place));
        }
        throw InputError({place},
                         fmt::format("cannot write here: {}; accepted: a place that can be "
                                     "written to",
                                     std::generic_category().message(errno)));
    }
    DraftFile(const DraftFile&) = delete;
    DraftFile& operator=(const DraftFile&) = delete;
    ~DraftFile() {
        if (file_ >= 0) ::close(file_);
        if (!moved_) ::unlink(path_.c_str());
    }

    void fill(std::string_view content) {
        write_all(file_, content, place_);
        const mode_t mask = ::umask(0);
        ::umask(mask);
        constexpr mode_t readable_and_writable = 0666;
        if (::fchmod(file_, readable_and_writable & ~mask) != 0 || ::fsync(file_) != 0) {
            fail(fmt::format("cannot write \"{}\"", place_));
        }
        const int closed = ::close(file_);
        file_ = -1;
        if (closed != 0) fail(fmt::format("cannot write \"{}\"", place_));
    }

    void move_to_place(bool force) {
        if (force) {
            if (::rename(path_.c_str(), place_.c_str()) != 0) {
                fail(fmt::format("cannot write \"{}\"", place_));
            }
            moved_ = true;
            return;
        }
        // Both refuse an existing file in one step, whoever made it meanwhile; not every file
        // system knows the first.
        if (::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, place_.c_str(), RENAME_NOREPLACE) == 0) {
            moved_ = true;
            return;
        }
        if (errno == EINVAL && ::link(path_.c_str(), place_.c_str()) == 0) return;
        if (errno == EEXIST) check_can_write(place_, force);
        fail(fmt::format("cannot write \"{}\"", place_));
    }

  private:
    std::string place_;
    std::string path_;
    int file_ = -1;
    bool moved_ = false;
};

void check_folder_of(const std::string& path) {
    const auto parent = std::filesystem::path(path).parent_path();
    const std::string folder = parent.empty() ? "." : parent.string();
    if (!path.empty() && ::access(folder.c_str(), W_OK | X_OK) == 0) return;
    throw InputError({path},
                     fmt::format("cannot write here: {}; accepted: a place that can be "
                                 "written to",
                                 std::generic_category().message(path.empty() ? ENOENT : errno)));
}

}  // namespace

void check_is_no_input(const std::string& path, const std::vector<std::string>& inputs) {
    for (const std::string& input : inputs) {
        std::error_code ignored;
        if (!std::filesystem::equivalent(path, input, ignored)) continue;
        throw InputError(
            {path}, fmt::format("this is \"{}\", which was read; accepted: another name", input));
    }
}

void check_can_write(const std::string& path, bool force) {
    std::error_code ignored;
    const auto status = std::filesystem::symlink_status(path, ignored);
    if (!std::filesystem::exists(status)) {
        check_folder_of(path);
        return;
    }
    if (!std::filesystem::is_regular_file(std::filesystem::status(path, ignored))) {
        throw InputError({path},
                         "this is not a regular file; accepted: the name of a file to write");
    }
    if (!force) {
        throw InputError({path},
                         "the file exists; accepted: another name, or --force to replace it");
    }
}

void write_file(const std::string& path, std::string_view content, bool force) {
    check_can_write(path, force);
    DraftFile draft(path);
    draft.fill(content);
    draft.move_to_place(force);
}

void write_standard_output(std::string_view content) {
    write_all(STDOUT_FILENO, content, "standard output");
}

}  // namespace earbudget::files
