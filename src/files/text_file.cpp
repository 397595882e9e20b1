#include "files/text_file.hpp"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>

#include <fmt/format.h>

#include "files/limits.hpp"

namespace earbudget::files {

std::string read_text_file(const std::string& path, const SourcePosition& blamed) {
    const auto refuse = [&](const std::string& why) {
        throw InputError(blamed,
                         fmt::format("cannot read \"{}\": {}; accepted: a readable file of at most "
                                     "{} MiB",
                                     path, why, largest_text_file >> 20U));
    };
    std::error_code failure;
    const auto status = std::filesystem::status(path, failure);
    if (failure && failure != std::errc::no_such_file_or_directory) refuse(failure.message());
    if (!std::filesystem::exists(status)) refuse("no such file");
    if (!std::filesystem::is_regular_file(status)) refuse("not a regular file");
    const auto size = std::filesystem::file_size(path, failure);
    if (!failure && size > largest_text_file) refuse("larger than that");
    std::ifstream stream(path, std::ios::binary);
    if (!stream) refuse(std::strerror(errno));
    std::string text(static_cast<std::size_t>(failure ? 0 : size), '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (stream.bad()) refuse("reading failed");
    text.resize(static_cast<std::size_t>(stream.gcount()));
    return text;
}

}  // namespace earbudget::files
