#include "files/place_error.hpp"

#include <cerrno>
#include <filesystem>
#include <string>
#include <system_error>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "files/machine_fault.hpp"

namespace earbudget::files {

void fail_to_write(const std::string& place) {
    const int error = errno;
    throw std::system_error(error, std::generic_category(),
                            fmt::format("cannot write \"{}\"", place));
}

namespace {

/// Where the folder is there and yet nothing can be made in it.
std::string words_of(int error, const std::string& place) {
    const auto parent = std::filesystem::path(place).parent_path();
    std::error_code ignored;
    if (error != ENOENT || place.empty()) return std::generic_category().message(error);
    return std::filesystem::is_directory(parent.empty() ? "." : parent, ignored)
               ? std::string("this folder takes no files")
               : fmt::format("there is no folder \"{}\"", parent.string());
}

}  // namespace

void refuse_place(const std::string& place, const std::string& or_else) {
    const int error = errno;
    if (is_machine_fault(error)) {
        errno = error;
        fail_to_write(place);
    }
    throw InputError({place}, fmt::format("cannot write here: {}; accepted: a place that can be "
                                          "written to{}",
                                          words_of(error, place), or_else));
}

}  // namespace earbudget::files
