#include <map>
#include <set>
#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "files/text_inputs.hpp"
#include "guides/guides.hpp"

namespace earbudget::guides {

namespace {

using files::Key;
using files::KeyTable;
using nlohmann::ordered_json;

constexpr std::string_view begin_of_marker = "<!-- keys: ";
constexpr std::string_view end_of_marker = " -->\n";
constexpr std::string_view end_of_keys = "<!-- end of keys -->\n";

using Tables = std::map<std::string, const KeyTable*, std::less<>>;

void collect(const KeyTable& table, Tables& tables) {
    if (!tables.emplace(table.name, &table).second) return;
    for (const KeyTable* part : table.parts())
        collect(*part, tables);
    for (const Key& key : table.own)
        if (key.table) collect(*key.table, tables);
    if (table.any && table.any->table) collect(*table.any->table, tables);
}

std::string with_minus(std::string text) {
    if (text.starts_with('-')) text.replace(0, 1, "−");
    return text;
}

std::string words_as_code(const Key& key) {
    std::string text;
    for (const std::string_view word : key.words())
        text += fmt::format("{}`\"{}\"`", text.empty() ? "" : ", ", word);
    return text;
}

std::string value_in_words(const Key& key) {
    const std::string words = key.words ? words_as_code(key) : "";
    switch (key.type) {
        case Key::Type::Text:
            return key.table ? "text, or table" : "text";
        case Key::Type::Id:
            return "id";
        case Key::Type::Word:
            return words + (key.table ? ", or `{ dB = … }`" : "");
        case Key::Type::Flag:
            return "`true`, `false`";
        case Key::Type::Number:
        case Key::Type::Count:
            return with_minus(files::text_of(key.range)) + (words.empty() ? "" : ", or " + words);
        case Key::Type::Duration:
            return "duration";
        case Key::Type::Texts:
            if (key.or_one) return "text, or texts";
            return words.empty() ? "texts" : "any of " + words;
        case Key::Type::Numbers:
            return "numbers, " + with_minus(files::text_of(key.range));
        case Key::Type::Table:
            return "table";
        case Key::Type::Tables:
            return fmt::format("tables, at most {}", key.most);
    }
    return "";
}

std::string name_in_heading(const Key& key) {
    if (key.type == Key::Type::Table && !key.words) return fmt::format("[{}]", key.name);
    return key.type == Key::Type::Tables ? fmt::format("[[{}]]", key.name) : std::string(key.name);
}

std::string row_of(const Key& key) {
    return fmt::format(
        "| `{}` | {} | {} | {} |\n", name_in_heading(key), value_in_words(key),
        key.when_absent == files::needed ? "**must be stated**" : std::string(key.when_absent),
        key.doc);
}

/// Rows of a table's keys; those that it shares with others are named where they have a table of
/// their own in the document.
std::string rows_of(const KeyTable& table, const std::set<std::string, std::less<>>& shown) {
    std::string text;
    for (const KeyTable* part : table.parts()) {
        if (part == &files::file_keys && part != &table) continue;  // told once for all files
        if (part != &table && shown.contains(part->name)) {
            text += fmt::format("| any key of *{}* | | | |\n", part->name);
            continue;
        }
        for (const Key& key : part->own)
            text += row_of(key);
    }
    return table.any ? text + row_of(*table.any) : text;
}

std::string without_code(std::string_view markdown) {
    std::string text;
    for (const char c : markdown)
        if (c != '`') text += c;
    return text;
}

constexpr std::string_view duration_pattern =
    "^ *([0-9]{1,4}:[0-9]{2}(:[0-9]{2})?(\\.[0-9]+)?|([0-9.]+[ \u00a0\u202f]*[A-Za-z]+[ "
    "\u00a0\u202f]*)+)$";

ordered_json text_schema() { return {{"type", "string"}, {"maxLength", files::longest_text}}; }

ordered_json number_schema(const Key& key) {
    if (key.type == Key::Type::Count) {
        return {{"type", "integer"},
                {"minimum", static_cast<int>(key.range.lowest)},
                {"maximum", static_cast<int>(key.range.highest)}};
    }
    return {{"type", "number"}, {"minimum", key.range.lowest}, {"maximum", key.range.highest}};
}

ordered_json reference_to(const KeyTable& table) {
    return {{"$ref", fmt::format("#/$defs/{}", table.name)}};
}

ordered_json array_schema(ordered_json items, std::size_t most) {
    return {{"type", "array"}, {"items", std::move(items)}, {"maxItems", most}};
}

ordered_json value_schema(const Key& key) {
    const ordered_json words =
        key.words ? ordered_json{{"enum", key.words()}} : ordered_json(text_schema());
    switch (key.type) {
        case Key::Type::Text:
            return key.table ? ordered_json{{"anyOf", {text_schema(), reference_to(*key.table)}}}
                             : text_schema();
        case Key::Type::Id:
            return {{"type", "string"}, {"minLength", 1}, {"maxLength", 100}};
        case Key::Type::Word:
            return key.table ? ordered_json{{"anyOf", {words, reference_to(*key.table)}}} : words;
        case Key::Type::Flag:
            return {{"type", "boolean"}};
        case Key::Type::Number:
        case Key::Type::Count:
            return key.words ? ordered_json{{"anyOf", {number_schema(key), words}}}
                             : number_schema(key);
        case Key::Type::Duration:
            return {{"type", "string"}, {"pattern", duration_pattern}};
        case Key::Type::Texts:
            if (key.or_one) return {{"anyOf", {text_schema(), array_schema(words, key.most)}}};
            return array_schema(words, key.most);
        case Key::Type::Numbers:
            return array_schema(number_schema(key), key.most);
        case Key::Type::Table:
            return reference_to(*key.table);
        case Key::Type::Tables:
            return array_schema(reference_to(*key.table), key.most);
    }
    return {};
}

void add_keys(const KeyTable& table, ordered_json& properties, ordered_json& required) {
    for (const KeyTable* part : table.parts()) {
        for (const Key& key : part->own) {
            ordered_json schema = value_schema(key);
            schema["description"] = without_code(key.doc);
            properties[std::string(key.name)] = std::move(schema);
            if (key.when_absent == files::needed) required.push_back(key.name);
        }
    }
}

ordered_json table_schema(const KeyTable& table) {
    ordered_json properties = ordered_json::object();
    ordered_json required = ordered_json::array();
    add_keys(table, properties, required);
    ordered_json schema = {{"type", "object"}, {"properties", std::move(properties)}};
    if (!required.empty()) schema["required"] = std::move(required);
    schema["additionalProperties"] = table.any ? value_schema(*table.any) : ordered_json(false);
    return schema;
}

}  // namespace

std::string with_key_tables(const std::string& document) {
    Tables tables;
    for (const KeyTable* file : files::all_files)
        collect(*file, tables);
    std::set<std::string, std::less<>> shown;
    const auto next_marker = [&document](std::size_t from) {
        return document.find(begin_of_marker, from);
    };
    const auto name_at = [&document](std::size_t marker) {
        const std::size_t begin = marker + begin_of_marker.size();
        return document.substr(begin, document.find(end_of_marker, begin) - begin);
    };
    for (std::size_t at = next_marker(0); at != document.npos; at = next_marker(at + 1))
        shown.insert(name_at(at));
    std::string result;
    std::size_t copied = 0;
    for (std::size_t at = next_marker(0); at != document.npos; at = next_marker(copied)) {
        const std::string name = name_at(at);
        const auto table = tables.find(name);
        const std::size_t end = document.find(end_of_keys, at);
        if (table == tables.end() || end == document.npos)
            throw std::runtime_error("no table of keys can be written for " + name);
        const std::size_t begin = document.find(end_of_marker, at) + end_of_marker.size();
        result += document.substr(copied, begin - copied);
        result += "| key | value | when left out | meaning |\n| --- | --- | --- | --- |\n";
        result += rows_of(*table->second, shown);
        copied = end;
    }
    return result + document.substr(copied);
}

std::string input_schema(const files::KeyTable& file) {
    Tables tables;
    collect(file, tables);
    ordered_json schema = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                           {"$id", fmt::format("{}.schema.json", file.name)},
                           {"title", fmt::format("kind = \"{}\"", file.name)}};
    schema.update(table_schema(file));
    schema["properties"]["kind"] = {{"const", file.name}};
    for (const auto& [name, table] : tables)
        if (table != &file) schema["$defs"][name] = table_schema(*table);
    return schema.dump(2) + "\n";
}

}  // namespace earbudget::guides
