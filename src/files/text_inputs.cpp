#include "files/text_inputs.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <optional>
#include <stdexcept>
#include <system_error>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "files/ids.hpp"
#include "files/open_file.hpp"
#include "files/toml_tree.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

std::string size_words(std::size_t bytes) {
    constexpr std::size_t kibi = 1024;
    return bytes >= kibi * kibi ? fmt::format("{} MiB", bytes / (kibi * kibi))
                                : fmt::format("{} KiB", bytes / kibi);
}

/// Whether a file says so in a line of its own, within its first lines.
bool is_of_kind(const std::filesystem::path& path, std::string_view kind) {
    constexpr int most_lines = 100;
    std::error_code ignored;
    if (!std::filesystem::is_regular_file(path, ignored)) return false;
    std::ifstream file(path);
    std::string line;
    for (int n = 0; n < most_lines && std::getline(file, line); ++n) {
        if (!trimmed(line).starts_with("kind")) continue;
        return line.find(fmt::format("\"{}\"", kind)) != std::string::npos;
    }
    return false;
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

/// Without "." and links on the way, also of what is not there; none where that cannot be told.
std::optional<std::string> resolved(const std::string& path) {
    std::error_code failure;
    auto canonical = std::filesystem::canonical(path, failure);
    if (!failure) return canonical.string();
    const auto absolute = std::filesystem::absolute(path, failure);
    if (!failure) canonical = std::filesystem::weakly_canonical(absolute, failure);
    // A link that leads nowhere yet may lead anywhere later.
    if (failure || std::filesystem::is_symlink(canonical, failure)) return std::nullopt;
    return canonical.string();
}

/// One for all names of a file; what cannot be resolved keeps its own, to be refused by it.
std::string key_of(const std::string& path) { return resolved(path).value_or(path); }

bool lies_in(const std::filesystem::path& path, const std::filesystem::path& folder) {
    return std::ranges::mismatch(folder, path).in1 == folder.end();
}

[[noreturn]] void refuse_larger(const std::string& path, const SourcePosition& blamed,
                                std::size_t most_bytes) {
    refuse(path, blamed, most_bytes, "larger than " + size_words(most_bytes));
}

/// `opened` is a name of the same file.
std::string read_text_file(const std::string& path, const std::string& opened,
                           const SourcePosition& blamed, std::size_t most_bytes,
                           std::string_view kind) {
    const auto fail = [&](const std::string& why) { refuse(path, blamed, most_bytes, why); };
    try {
        const OpenFile file(opened);
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
        const auto is_meant = [kind](const std::filesystem::path& other) {
            return kind.empty() || is_of_kind(other, kind);
        };
        fail(cannot.what() + (is_missing ? nearest_there(path, is_meant) : std::string()));
    }
    throw std::logic_error("a refusal came back");
}

}  // namespace

std::string nearest_there(const std::string& path,
                          const std::function<bool(const std::filesystem::path&)>& is_meant) {
    constexpr std::size_t most_names = 1000;
    std::vector<std::string> names;
    std::error_code failure;
    // "cards/" names the same as "cards".
    std::filesystem::path named(path);
    if (named.filename().empty()) named = named.parent_path();
    std::filesystem::directory_iterator entry(folder_of(named.string()), failure);
    for (; !failure && entry != std::filesystem::directory_iterator() && names.size() < most_names;
         entry.increment(failure)) {
        if (is_meant(entry->path())) names.push_back(entry->path().filename().string());
    }
    std::ranges::sort(names);
    const std::string name = named.filename().string();
    const bool is_without_ending = std::ranges::find(names, name + ".toml") != names.end();
    const auto nearest =
        is_without_ending ? std::optional(name + ".toml") : nearest_name(name, names);
    return nearest ? fmt::format(", the nearest there is \"{}\"", *nearest) : "";
}

const std::string& TextInputs::text(const std::string& path, const SourcePosition& blamed,
                                    std::size_t most_bytes, std::string_view kind) {
    const auto asked = keys_.find(path);
    const std::string key = asked != keys_.end() ? asked->second : key_of(path);
    auto read = read_.find(key);
    if (read == read_.end()) {
        refuse_outside(path, blamed);
        // A link that is put there meanwhile leads nowhere else.
        const std::string& opened = folder_.empty() ? path : key;
        const auto in_place = in_place_.extract(key);
        std::string text =
            in_place ? in_place.mapped() : read_text_file(path, opened, blamed, most_bytes, kind);
        std::string sha256 = sha256_of_text(text);
        read = read_.emplace(key, Read{path, std::move(text), std::move(sha256), false}).first;
    }
    keys_.emplace(path, key);
    if (read->second.text.size() > most_bytes) refuse_larger(path, blamed, most_bytes);
    return read->second.text;
}

void TextInputs::put_in_place(const std::string& path, std::string text) {
    const std::string key = key_of(path);
    if (read_.contains(key)) throw std::logic_error("a text comes after its file was read");
    in_place_.insert_or_assign(key, std::move(text));
}

void TextInputs::confine_to(const std::string& folder) {
    std::error_code failure;
    const auto canonical = std::filesystem::canonical(folder, failure);
    if (failure || !std::filesystem::is_directory(canonical, failure)) {
        throw InputError({folder}, "there is no such folder; accepted: a folder");
    }
    folder_ = canonical.string();
}

void TextInputs::refuse_outside(const std::string& path, const SourcePosition& blamed) const {
    if (folder_.empty()) return;
    const auto place = resolved(path);
    if (place && lies_in(*place, folder_)) return;
    throw InputError(blamed,
                     fmt::format("\"{}\" lies outside of the folder that the desk was opened on; "
                                 "accepted: what lies in it, or the desk opened on a folder that "
                                 "holds both",
                                 path));
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

std::vector<std::string> TextInputs::names() const {
    std::vector<std::string> names;
    for (const auto& [key, read] : read_)
        names.push_back(read.name);
    return names;
}

void TextInputs::keep_as_example(const std::string& path) {
    read_.at(keys_.at(path)).example = true;
}

bool TextInputs::is_example(const std::string& path) const {
    const auto key = keys_.find(path);
    return key != keys_.end() && read_.at(key->second).example;
}

}  // namespace earbudget::files
