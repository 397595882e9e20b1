#include "files/toml_tree.hpp"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "earbudget/study/input_error.hpp"
#include "files/text_inputs.hpp"

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

/// The deepest key of our files has three parts.
constexpr unsigned most_parts = 8;

/// Walks over TOML 1.0 just so far that text in quotes and comments is told from keys.
class Walk {
  public:
    explicit Walk(std::string_view toml) : rest_(toml) {}

    [[nodiscard]] bool at_end() const { return rest_.empty(); }
    [[nodiscard]] char next() const { return rest_.front(); }
    [[nodiscard]] bool starts_with(std::string_view text) const { return rest_.starts_with(text); }

    void step(std::size_t bytes = 1) {
        for (; bytes > 0 && !rest_.empty(); --bytes) {
            const auto byte = static_cast<unsigned char>(rest_.front());
            rest_.remove_prefix(1);
            if (byte == '\n') {
                ++line_;
                column_ = 1;
            } else if ((byte & 0xC0U) != 0x80U) {  // not the continuation of a character
                ++column_;
            }
        }
    }

    void skip_comment() {
        while (!at_end() && next() != '\n')
            step();
    }

    /// A text in quotes, of one line or of several.
    void skip_text() {
        const char quote = next();
        const std::string three(3, quote);
        const bool of_lines = starts_with(three);
        const std::string_view end =
            of_lines ? std::string_view(three) : std::string_view(&quote, 1);
        step(end.size());
        while (!at_end() && !starts_with(end)) {
            // Where the line ends too early the parser says so.
            if (!of_lines && next() == '\n') return;
            step(quote == '"' && next() == '\\' ? 2 : 1);
        }
        step(end.size());
        // Of five quotes at the end of several lines two belong to the text.
        for (int more = 0; of_lines && more < 2 && !at_end() && next() == quote; ++more)
            step();
    }

    [[nodiscard]] SourcePosition position(const std::string& path) const {
        return {path, line_, column_};
    }

  private:
    std::string_view rest_;
    unsigned line_ = 1;
    unsigned column_ = 1;
};

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
                    const SourcePosition* referred_from, std::string_view kind) {
    TomlTable document =
        parse_toml(inputs.text(path, referred_from ? *referred_from : SourcePosition{path},
                               largest_text_file, kind),
                   path);
    for (const TomlEntry& entry : document.entries) {
        const bool* flag = std::get_if<bool>(&entry.value.content);
        if (entry.key == key_of_examples && flag && *flag) inputs.keep_as_example(path);
    }
    return document;
}

void refuse_deep_keys(const std::string& toml, const std::string& path) {
    constexpr std::string_view ends_a_key = "\n=,[]{}";
    constexpr std::string_view begins_more = "=,[{.";
    Walk walk(toml);
    unsigned parts = 1;
    std::size_t values = 0;
    while (!walk.at_end()) {
        const char c = walk.next();
        if (c == '"' || c == '\'') {
            walk.skip_text();
            continue;
        }
        if (c == '#') {
            walk.skip_comment();
            continue;
        }
        if (begins_more.find(c) != begins_more.npos && ++values > most_values_of_a_file) {
            throw InputError(walk.position(path),
                             fmt::format("more than {} keys, values and parts of them; accepted: a "
                                         "file of at most as many",
                                         most_values_of_a_file));
        }
        if (ends_a_key.find(c) != ends_a_key.npos) parts = 1;
        if (c == '.' && ++parts > most_parts) {
            throw InputError(walk.position(path),
                             fmt::format("a key of more than {} parts; accepted: the keys of this "
                                         "kind of file, of three at most",
                                         most_parts));
        }
        walk.step();
    }
}

}  // namespace earbudget::files
