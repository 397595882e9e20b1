#include "files/file_kind.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace earbudget::files {

namespace {

const TomlValue* find_kind(const TomlTable& document) {
    const auto found = std::find_if(document.entries.begin(), document.entries.end(),
                                    [](const TomlEntry& entry) { return entry.key == "kind"; });
    return found == document.entries.end() ? nullptr : &found->value;
}

}  // namespace

std::string_view kind_of(const TomlTable& document) {
    const TomlValue* kind = find_kind(document);
    const auto* name = kind ? std::get_if<std::string>(&kind->content) : nullptr;
    return name ? std::string_view(*name) : std::string_view();
}

TableReader open_document(const TomlTable& document, const std::string& path, std::string_view kind,
                          std::vector<std::string> keys) {
    const std::string_view stated = kind_of(document);
    if (!stated.empty() && stated != kind) {
        throw InputError(find_kind(document)->position,
                         fmt::format("\"kind\" is \"{}\"; accepted: \"{}\"", stated, kind));
    }
    keys.insert(keys.begin(), {"kind", "format"});
    TableReader file(document, {path}, "the file", std::move(keys));
    static_cast<void>(file.require_text("kind", fmt::format("kind = \"{}\"", kind)));
    if (!file.has("format")) {
        throw InputError({path}, "the file has no \"format\"; accepted: format = 1");
    }
    static_cast<void>(file.count("format", 1, 1));
    return file;
}

}  // namespace earbudget::files
