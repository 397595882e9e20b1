#include "files/ids.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <set>

#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

// Letters to insert, remove, replace or swap with their neighbour to get from one to the other.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before_last(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j)
        row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        before_last.swap(last);
        last.swap(row);
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, replaced});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
        }
    }
    return row[b.size()];
}

constexpr std::size_t most_characters = 100;  // own choice: what fits a line or two

/// Zs.
bool is_blank(std::uint32_t character) {
    constexpr std::array<std::uint32_t, 6> single = {0x20, 0xA0, 0x1680, 0x202F, 0x205F, 0x3000};
    return std::ranges::count(single, character) > 0 ||
           (character >= 0x2000 && character <= 0x200A);
}

/// A frequency as others write it, "1k", "1 kHz", "500 Hz", in hertz alone: "1000"; none for
/// anything else.
std::optional<std::string> in_hertz(std::string_view name) {
    const std::size_t end = std::min(name.find_first_not_of("0123456789."), name.size());
    std::string unit = in_small_letters(trimmed(name.substr(end)));
    if (end == 0 || end > 6 || (unit != "k" && unit != "khz" && unit != "hz")) return std::nullopt;
    const double number = std::strtod(std::string(name.substr(0, end)).c_str(), nullptr);
    return fmt::format("{:g}", unit == "hz" ? number : number * 1000.0);
}

const TomlValue* find_kind(const TomlTable& document) {
    const auto found = std::find_if(document.entries.begin(), document.entries.end(),
                                    [](const TomlEntry& entry) { return entry.key == "kind"; });
    return found == document.entries.end() ? nullptr : &found->value;
}

/// Where there is no kind, there may be one that is misspelt.
void check_states_kind(const TomlTable& document, const std::string& path, std::string_view kind) {
    if (find_kind(document) != nullptr) return;
    for (const TomlEntry& entry : document.entries) {
        if (!nearest_name(entry.key, {"kind"})) continue;
        throw InputError(entry.position, fmt::format("unknown key \"{}\" in the file, the nearest "
                                                     "known is \"kind\"; accepted: kind = \"{}\"",
                                                     entry.key, kind));
    }
    throw InputError({path},
                     fmt::format("the file has no \"kind\"; accepted: kind = \"{}\"", kind));
}

}  // namespace

std::optional<std::string> nearest_name(std::string_view name,
                                        const std::vector<std::string>& names) {
    constexpr std::size_t longest_compared = 64;
    if (name.size() > longest_compared) return std::nullopt;
    if (auto hertz = in_hertz(name); hertz && std::ranges::find(names, *hertz) != names.end())
        return hertz;
    std::optional<std::string> nearest;
    std::size_t distance = std::max<std::size_t>(2, name.size() / 2) + 1;
    for (const std::string& candidate : names) {
        if (candidate.size() > longest_compared) continue;
        const std::size_t d = edit_distance(name, candidate);
        // Of what is near something is left.
        if (d < distance && d < std::max(name.size(), candidate.size())) {
            distance = d;
            nearest = candidate;
        }
    }
    return nearest;
}

std::string nearest_words(std::string_view name, const std::vector<std::string>& names) {
    const auto nearest = nearest_name(name, names);
    return nearest ? fmt::format(", the nearest known is \"{}\"", *nearest) : "";
}

InputError unknown_id(std::string_view what, const Located<std::string>& id,
                      const std::vector<std::string>& known, std::string_view none) {
    return {id.position, fmt::format("unknown {} \"{}\"{}; accepted: {}", what, id.value,
                                     nearest_words(id.value, known),
                                     known.empty() ? fmt::format("none, {}", none)
                                                   : fmt::format("{}", fmt::join(known, ", ")))};
}

void list_unknown_id(ErrorList& errors, std::string_view what, const Located<std::string>& id,
                     const std::vector<std::string>& known, std::string_view none) {
    if (errors.may_have_lost(std::string(what))) return;
    if (errors.is_full()) {
        errors.count_more();
    } else {
        errors.add(unknown_id(what, id, known, none));
    }
}

std::optional<std::string> why_no_id(std::string_view id) {
    const auto characters = characters_of(id);
    if (!characters) return ", which is no UTF-8";
    if (characters->empty()) return ", empty";
    if (characters->size() > most_characters)
        return fmt::format(", {} characters long", characters->size());
    // What is printed must be what can be typed.
    if (const std::string seen = visible_text(id); seen != id) {
        const auto at = static_cast<std::size_t>(std::ranges::mismatch(id, seen).in1 - id.begin());
        const auto unseen = first_character(id.substr(at));
        return fmt::format(", with U+{:04X}, which cannot be seen",
                           static_cast<std::uint32_t>(unseen ? unseen->code : 0));
    }
    if (is_blank(characters->front()) || is_blank(characters->back()))
        return ", with a blank at an end";
    return std::nullopt;
}

Located<std::string> require_id(TableReader& table) {
    auto id = table.require_text("id");
    if (const auto why = why_no_id(id.value)) {
        table.report("id", fmt::format("is \"{}\"{}; accepted: {}", id.value, *why, accepted_ids));
        throw AlreadyListed();
    }
    return id;
}

std::string file_name_of_card(const std::string& id, std::set<std::string>& taken) {
    constexpr std::size_t longest = 60;
    std::string name;
    for (const char c : id) {
        const bool plain = is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           c == '-' || c == '_' || (c == '.' && !name.empty());
        if (plain || (!name.empty() && name.back() != '-')) name += plain ? c : '-';
        if (name.size() == longest) break;
    }
    if (name.empty()) name = "sequence";
    std::string free = name;
    for (unsigned n = 2; !taken.insert(in_small_letters(free)).second; ++n)
        free = fmt::format("{}-{}", name, n);
    return free + ".toml";
}

std::string_view command_for_kind(std::string_view kind) {
    if (kind == "plan" || kind == "study") return "assess";
    if (kind == "sequence") return "review";
    if (kind == "setup") return "measure";
    if (kind == "response") return "predict WAVEFORM --response";
    return kind == "protectors" ? "ratings" : "";
}

std::string_view kind_of(const TomlTable& document) {
    const TomlValue* kind = find_kind(document);
    const auto* name = kind ? std::get_if<std::string>(&kind->content) : nullptr;
    return name ? std::string_view(*name) : std::string_view();
}

TableReader open_document(const TomlTable& document, const std::string& path, const KeyTable& keys,
                          ErrorList& errors) {
    const std::string_view kind = keys.name;
    check_states_kind(document, path, kind);
    const std::string_view stated = kind_of(document);
    if (!stated.empty() && stated != kind) {
        const std::string_view command = command_for_kind(stated);
        throw InputError(find_kind(document)->position,
                         fmt::format("\"kind\" is \"{}\"{}; accepted: kind = \"{}\"", stated,
                                     command.empty() ? ""
                                                     : fmt::format(", a file for earbudget {} {}",
                                                                   command, as_typed(path)),
                                     kind));
    }
    if (stated.empty()) {
        const TomlValue& value = *find_kind(document);
        const bool is_text = std::holds_alternative<std::string>(value.content);
        throw InputError(value.position, fmt::format("\"kind\" is {}; accepted: kind = \"{}\"",
                                                     is_text ? "empty" : value.kind(), kind));
    }
    TableReader file(document, {path}, "the file", keys, errors);
    if (!file.has("format") && !file.is_misspelt("format"))
        errors.add({{path}, "the file has no \"format\"; accepted: format = 1"});
    static_cast<void>(file.count("format"));
    static_cast<void>(file.boolean(key_of_examples));
    return file;
}

}  // namespace earbudget::files
