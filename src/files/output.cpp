#include "files/output.hpp"

#include <cerrno>
#include <filesystem>
#include <memory>
#include <system_error>

#include <fmt/format.h>
#include <unistd.h>

#include "earbudget/study/input_error.hpp"
#include "files/draft_file.hpp"

namespace earbudget::files {

namespace {

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

void write_files(const std::vector<OutputFile>& files, bool force) {
    std::vector<std::unique_ptr<DraftFile>> drafts;
    for (const OutputFile& file : files) {
        check_can_write(file.path, force);
        drafts.push_back(std::make_unique<DraftFile>(file.path, file.content));
    }
    const InterruptsWait between_two;
    for (const auto& draft : drafts)
        draft->move_to_place(force);
}

void write_standard_output(std::string_view content) {
    while (!content.empty()) {
        const ssize_t written = ::write(STDOUT_FILENO, content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) {
            throw std::system_error(errno, std::generic_category(), "cannot write standard output");
        }
        content.remove_prefix(static_cast<std::size_t>(written));
    }
}

}  // namespace earbudget::files
