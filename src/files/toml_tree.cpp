#include "files/toml_tree.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "files/foreign_format.hpp"
#include "files/key_depth.hpp"
#include "files/toml_mistake.hpp"

namespace earbudget::files {

namespace {

SourcePosition position_of(const toml::source_region& region, const FileName& file) {
    return {file, std::max<unsigned>(1, region.begin.line),
            std::max<unsigned>(1, region.begin.column)};
}

TomlValue convert(const toml::node& node, const FileName& file);

/// Messages would end there.
void refuse_zero_characters(std::string_view text, const SourcePosition& position) {
    if (text.find('\0') == text.npos) return;
    throw InputError(position,
                     "a key or text holds the character U+0000; accepted: text without it");
}

TomlTable convert_table(const toml::table& table, const FileName& file) {
    TomlTable result;
    for (const auto& [key, node] : table) {
        refuse_zero_characters(key.str(), position_of(key.source(), file));
        result.entries.push_back(
            {std::string(key.str()), position_of(key.source(), file), convert(node, file)});
    }
    return result;
}

TomlArray convert_array(const toml::array& array, const FileName& file) {
    TomlArray result;
    result.reserve(array.size());
    for (const toml::node& node : array)
        result.push_back(convert(node, file));
    return result;
}

TomlValue convert(const toml::node& node, const FileName& file) {
    TomlValue value{position_of(node.source(), file), TomlDate{}};
    if (const auto* boolean = node.as_boolean()) value.content = boolean->get();
    if (const auto* integer = node.as_integer()) value.content = integer->get();
    if (const auto* number = node.as_floating_point()) value.content = number->get();
    if (const auto* text = node.as_string()) {
        refuse_zero_characters(text->get(), value.position);
        value.content = text->get();
    }
    if (const auto* array = node.as_array()) value.content = convert_array(*array, file);
    if (const auto* table = node.as_table()) value.content = convert_table(*table, file);
    return value;
}

}  // namespace

std::string_view TomlValue::kind() const {
    switch (content.index()) {
        case 0:
            return "true or false";
        case 1:
        case 2:
            return "a number";
        case 3:
            return "a string";
        case 4:
            return "a date or time";
        case 5:
            return "an array";
        default:
            return "a table";
    }
}

TomlTable parse_toml(const std::string& text, const FileName& path) {
    if (const auto foreign = foreign_format_of(text)) {
        throw InputError({path},
                         fmt::format("this is {}; accepted: {}", foreign->what, foreign->accepted));
    }
    refuse_deep_keys(text, path);
    try {
        return convert_table(toml::parse(text), path);
    } catch (const toml::parse_error& error) {
        throw toml_mistake(text, position_of(error.source(), path), error.description());
    }
}

TomlTable read_toml(const std::string& path, TextInputs& inputs,
                    const SourcePosition* referred_from) {
    return parse_toml(inputs.text(path, referred_from ? *referred_from : SourcePosition{path}),
                      path);
}

}  // namespace earbudget::files
