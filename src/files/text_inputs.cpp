#include "files/text_inputs.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <stdexcept>
#include <system_error>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::files {

namespace {

std::string size_words(std::size_t bytes) {
    constexpr std::size_t kibi = 1024;
    return bytes >= kibi * kibi ? fmt::format("{} MiB", bytes / (kibi * kibi))
                                : fmt::format("{} KiB", bytes / kibi);
}

/// A word on the file whose name is nearest in the same folder; empty for none.
std::string nearest_file(const std::string& path) {
    constexpr std::size_t most_names = 1000;
    std::vector<std::string> names;
    std::error_code failure;
    std::filesystem::directory_iterator entry(folder_of(path), failure);
    for (; !failure && entry != std::filesystem::directory_iterator() && names.size() < most_names;
         entry.increment(failure)) {
        names.push_back(entry->path().filename().string());
    }
    std::ranges::sort(names);
    const std::string name = std::filesystem::path(path).filename().string();
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

[[noreturn]] void refuse(const std::string& path, const SourcePosition& blamed,
                         std::size_t most_bytes, const std::string& why) {
    throw InputError(
        blamed, fmt::format("cannot read \"{}\": {}; accepted: a readable file of at most {}", path,
                            why, size_words(most_bytes)));
}

/// What is too large may be a recording.
void refuse_foreign(const OpenFile& file, const std::string& path) {
    std::string begin(16, '\0');
    begin.resize(file.read_at(0, begin));
    if (const auto foreign = foreign_format_of(begin)) {
        throw InputError({path},
                         fmt::format("this is {}; accepted: {}", foreign->what, foreign->accepted));
    }
}

/// One for all names of a file; what leads nowhere keeps its own, to be refused by it.
std::string key_of(const std::string& path) {
    std::error_code failure;
    const auto canonical = std::filesystem::canonical(path, failure);
    return failure ? path : canonical.string();
}

[[noreturn]] void refuse_larger(const std::string& path, const SourcePosition& blamed,
                                std::size_t most_bytes) {
    refuse(path, blamed, most_bytes, "larger than " + size_words(most_bytes));
}

std::string read_text_file(const std::string& path, const SourcePosition& blamed,
                           std::size_t most_bytes) {
    const auto fail = [&](const std::string& why) { refuse(path, blamed, most_bytes, why); };
    try {
        const OpenFile file(path);
        if (file.size() > most_bytes) {
            refuse_foreign(file, path);
            refuse_larger(path, blamed, most_bytes);
        }
        std::string text(static_cast<std::size_t>(file.size()), '\0');
        if (file.read_at(0, text) != text.size() || !file.is_unchanged())
            fail("written to while it was read");
        return text;
    } catch (const CannotRead& cannot) {
        if (is_machine_fault(cannot.error()))
            throw std::system_error(cannot.error(), std::generic_category(), path);
        if (cannot.why() == CannotRead::Why::Folder) refuse_folder(path, blamed);
        const bool is_missing = cannot.why() == CannotRead::Why::Missing;
        fail(cannot.what() + (is_missing ? nearest_file(path) : std::string()));
    }
    throw std::logic_error("a refusal came back");
}

}  // namespace

const std::string& TextInputs::text(const std::string& path, const SourcePosition& blamed,
                                    std::size_t most_bytes) {
    const auto asked = keys_.find(path);
    const std::string key = asked != keys_.end() ? asked->second : key_of(path);
    auto read = read_.find(key);
    if (read == read_.end()) {
        std::string text = read_text_file(path, blamed, most_bytes);
        std::string sha256 = sha256_of_text(text);
        read = read_.emplace(key, Read{path, std::move(text), std::move(sha256)}).first;
    }
    keys_.emplace(path, key);
    if (read->second.text.size() > most_bytes) refuse_larger(path, blamed, most_bytes);
    return read->second.text;
}

const TextInputs::Read& TextInputs::known(const std::string& path) const {
    const auto key = keys_.find(path);
    if (key == keys_.end()) throw std::logic_error("a file that was not read has no hash");
    return read_.at(key->second);
}

const std::string& TextInputs::sha256(const std::string& path) const { return known(path).sha256; }

const std::string& TextInputs::first_name(const std::string& path) const {
    return known(path).name;
}

}  // namespace earbudget::files
