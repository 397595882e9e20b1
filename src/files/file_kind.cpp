#include "files/file_kind.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/ids.hpp"

namespace earbudget::files {

namespace {

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
        throw InputError(entry.position,
                         fmt::format("unknown key \"{}\" in the file, the nearest known is "
                                     "\"kind\"; accepted: kind = \"{}\"",
                                     entry.key, kind));
    }
    throw InputError({path},
                     fmt::format("the file has no \"kind\"; accepted: kind = \"{}\"", kind));
}

}  // namespace

std::string_view command_for_kind(std::string_view kind) {
    if (kind == "plan") return "assess";
    if (kind == "sequence") return "review";
    return kind == "protectors" ? "ratings" : "";
}

std::string_view kind_of(const TomlTable& document) {
    const TomlValue* kind = find_kind(document);
    const auto* name = kind ? std::get_if<std::string>(&kind->content) : nullptr;
    return name ? std::string_view(*name) : std::string_view();
}

TableReader open_document(const TomlTable& document, const std::string& path, std::string_view kind,
                          std::vector<std::string> keys, ErrorList& errors) {
    check_states_kind(document, path, kind);
    const std::string_view stated = kind_of(document);
    if (!stated.empty() && stated != kind) {
        const std::string_view command = command_for_kind(stated);
        throw InputError(
            find_kind(document)->position,
            fmt::format(
                "\"kind\" is \"{}\"{}; accepted: kind = \"{}\"", stated,
                command.empty() ? "" : fmt::format(", a file for earbudget {} {}", command, path),
                kind));
    }
    keys.insert(keys.begin(), {"kind", "format"});
    TableReader file(document, {path}, "the file", std::move(keys), errors);
    static_cast<void>(file.require_text("kind", fmt::format("kind = \"{}\"", kind)));
    errors.attempt([&] { static_cast<void>(file.require_count("format", 1, 1, "format = 1")); });
    return file;
}

}  // namespace earbudget::files
