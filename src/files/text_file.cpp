#include "files/text_file.hpp"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "files/foreign_format.hpp"
#include "files/limits.hpp"
#include "files/nearest_name.hpp"

namespace earbudget::files {

namespace {

/// A word on the file whose name is nearest in the same folder; empty for none.
std::string nearest_file(const std::string& path) {
    constexpr std::size_t most_names = 1000;
    const std::filesystem::path wanted(path);
    const auto folder =
        wanted.parent_path().empty() ? std::filesystem::path(".") : wanted.parent_path();
    std::vector<std::string> names;
    std::error_code failure;
    std::filesystem::directory_iterator entry(folder, failure);
    for (; !failure && entry != std::filesystem::directory_iterator() && names.size() < most_names;
         entry.increment(failure)) {
        names.push_back(entry->path().filename().string());
    }
    std::ranges::sort(names);
    const std::string name = wanted.filename().string();
    const bool is_without_ending = std::ranges::find(names, name + ".toml") != names.end();
    const auto nearest =
        is_without_ending ? std::optional(name + ".toml") : nearest_name(name, names);
    return nearest ? fmt::format(", the nearest there is \"{}\"", *nearest) : "";
}

/// A folder in the place of a file, which may be that of a study.
[[noreturn]] void refuse_folder(const std::string& path, const SourcePosition& blamed) {
    const auto plan = std::filesystem::path(path) / "plan.toml";
    std::error_code ignored;
    throw InputError(blamed, fmt::format("cannot read \"{}\": a folder; accepted: {}", path,
                                         std::filesystem::exists(plan, ignored)
                                             ? "a file in it, such as " + plan.string()
                                             : std::string("the name of a file")));
}

/// What is too large may be a recording.
void refuse_foreign(std::istream& stream, const std::string& path) {
    std::string begin(16, '\0');
    stream.read(begin.data(), static_cast<std::streamsize>(begin.size()));
    if (const auto foreign = foreign_format_of(begin)) {
        throw InputError({path},
                         fmt::format("this is {}; accepted: {}", foreign->what, foreign->accepted));
    }
}

}  // namespace

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
    if (!std::filesystem::exists(status)) refuse("no such file" + nearest_file(path));
    if (std::filesystem::is_directory(status)) refuse_folder(path, blamed);
    if (!std::filesystem::is_regular_file(status)) refuse("not a regular file");
    const auto size = std::filesystem::file_size(path, failure);
    std::ifstream stream(path, std::ios::binary);
    if (!stream) refuse(std::strerror(errno));
    if (!failure && size > largest_text_file) {
        refuse_foreign(stream, path);
        refuse("larger than that");
    }
    std::string text(static_cast<std::size_t>(failure ? 0 : size), '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (stream.bad()) refuse("reading failed");
    text.resize(static_cast<std::size_t>(stream.gcount()));
    return text;
}

}  // namespace earbudget::files
