#include <algorithm>
#include <array>
#include <optional>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "files/toml_tree.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

constexpr std::string_view line_blanks = " \t\r";

std::string_view without_blanks(std::string_view text) { return trimmed(text, line_blanks); }

/// Columns count characters, not bytes.
std::size_t characters_in(std::string_view line) {
    return static_cast<std::size_t>(std::ranges::count_if(
        line, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::vector<std::string_view> lines_until(std::string_view text, unsigned last) {
    std::vector<std::string_view> lines;
    while (lines.size() < last) {
        const std::size_t end = text.find('\n');
        lines.push_back(text.substr(0, end));
        if (end == text.npos) break;
        text.remove_prefix(end + 1);
    }
    return lines;
}

/// The first place of a character outside quotes.
std::size_t find_outside_quotes(std::string_view line, char wanted) {
    char quote = '\0';
    for (std::size_t at = 0; at < line.size(); ++at) {
        const char c = line[at];
        if (quote == '\0' && c == wanted) return at;
        if (quote != '\0') {
            if (c == '\\' && quote == '"') ++at;
            if (c == quote) quote = '\0';
        } else if (c == '"' || c == '\'') {
            quote = c;
        }
    }
    return line.npos;
}

bool has_curly_quotes(std::string_view line) {
    constexpr std::array<std::string_view, 5> doubles = {"“", "”", "„", "«", "»"};
    const auto is_in = [&](std::string_view quote) { return line.find(quote) != line.npos; };
    return std::ranges::any_of(doubles, is_in);
}

/// A line in which the parser stopped, and what it was reading there.
struct Place {
    std::vector<std::string_view> lines;
    std::string_view line;  ///< without a comment
    SourcePosition at;
    std::string_view description;

    [[nodiscard]] bool says(std::string_view words) const {
        return description.find(words) != description.npos;
    }
    [[nodiscard]] bool is_behind_equals() const {
        const std::size_t equals = find_outside_quotes(line, '=');
        return equals != line.npos && equals + 1 < at.column;
    }
    [[nodiscard]] std::string_view key() const {
        return without_blanks(line.substr(0, find_outside_quotes(line, '=')));
    }
    [[nodiscard]] std::string_view value() const {
        return without_blanks(line.substr(find_outside_quotes(line, '=') + 1));
    }
};

constexpr std::string_view curly =
    "a curly quote, as word processors write it; accepted: straight quotes, \"like these\"";

std::string mistake_of_text(const Place& place) {
    if (place.says("escape sequence") || place.says("unicode scalar")) {
        return "a backslash in double quotes, as in a Windows path; accepted: / in its place, or "
               "single quotes, 'cards\\epi.toml'";
    }
    if (place.says("end-of-file"))
        return "a text in three quotes that does not end; accepted: \"text in one line\"";
    const bool at_end = place.at.column > characters_in(without_blanks(place.line));
    if (!at_end) return "a control character in a text; accepted: text without it";
    if (has_curly_quotes(place.line)) return std::string(curly);
    return "a text without its closing quote; accepted: \"text\", in one line";
}

/// The line, from 1, before the last in which the same begins, in the same table for a key.
std::optional<std::size_t> first_of(const Place& place, std::string_view wanted, bool in_table) {
    std::optional<std::size_t> found;
    for (std::size_t n = 0; n + 1 < place.lines.size(); ++n) {
        const std::string_view line = without_blanks(place.lines[n]);
        if (in_table && line.starts_with('[')) found.reset();
        const std::string_view begin =
            in_table ? without_blanks(line.substr(0, find_outside_quotes(line, '='))) : line;
        if (begin == wanted) found = n + 1;
    }
    return found;
}

std::string mistake_of_doubles(const Place& place) {
    const std::string_view line = without_blanks(place.line);
    const bool is_heading = line.starts_with('[');
    if (is_heading && (place.says("array") || place.says("table '")) &&
        (place.says("as array-of-tables") || place.says("existing array"))) {
        return fmt::format(
            "{} stands beside the same name with another number of brackets; accepted: the same "
            "for each, [[…]] where there may be several",
            excerpt(line));
    }
    const std::string_view what = is_heading ? line : place.key();
    const auto first = first_of(place, what, !is_heading);
    return fmt::format("{} stands twice{}; accepted: each {} once", excerpt(what),
                       first ? fmt::format(", first in line {}", *first) : "",
                       is_heading ? "table" : "key of a table");
}

std::string mistake_of_line(const Place& place) {
    const std::string_view line = without_blanks(place.line);
    if (line.starts_with("//") || line.starts_with(';') || line.starts_with("--"))
        return "a comment that does not begin with #; accepted: # comment";
    if (line.starts_with('[')) {
        return "a heading that is not written right; accepted: [policy] or [[person]], without "
               "blanks in its name";
    }
    const std::size_t equals = find_outside_quotes(line, '=');
    const std::string_view key = without_blanks(line.substr(0, std::min(equals, line.size())));
    if (equals == line.npos && key.find(':') != key.npos)
        return "\":\" instead of \"=\"; accepted: key = value";
    if (equals == line.npos) {
        return fmt::format("no \"=\" between a key and its value in \"{}\"; accepted: key = value",
                           excerpt(line));
    }
    return fmt::format(
        "\"{}\" is no key; accepted: a key of letters, digits, - and _, or in quotes",
        excerpt(key));
}

std::string mistake_at(const Place& place) {
    if (place.says("invalid utf-8") || place.says("Invalid utf-8")) {
        return "a character that is not UTF-8, as in a file saved as Latin-1 or Windows-1252; "
               "accepted: a file saved as UTF-8";
    }
    if (place.says("cannot redefine")) return mistake_of_doubles(place);
    const bool in_text = place.says("parsing string") || place.says("parsing literal string") ||
                         place.says("parsing unicode scalar") || place.says("parsing multi-line");
    if (in_text) return mistake_of_text(place);
    if (has_curly_quotes(place.line)) return std::string(curly);
    // A list may have begun some lines before.
    if (place.says("parsing array") &&
        !(place.is_behind_equals() && place.value().starts_with('['))) {
        return "a list that does not end before this line; accepted: commas between its entries "
               "and ] behind the last";
    }
    if (place.is_behind_equals()) return toml_value_mistake(place.value());
    return mistake_of_line(place);
}

/// A message that quotes the line would end at the zero character.
std::optional<InputError> zero_character_in(const std::vector<std::string_view>& lines,
                                            const SourcePosition& found_at) {
    const auto has_zero = [](std::string_view line) { return line.find('\0') != line.npos; };
    const auto line = std::ranges::find_if(lines, has_zero);
    if (line == lines.end()) return std::nullopt;
    SourcePosition at = found_at;
    at.line = static_cast<unsigned>(line - lines.begin()) + 1;
    at.column = static_cast<unsigned>(characters_in(line->substr(0, line->find('\0')))) + 1;
    return InputError(at, "not TOML: the character U+0000; accepted: text without it");
}

}  // namespace

InputError toml_mistake(std::string_view text, const SourcePosition& found_at,
                        std::string_view description) {
    if (found_at.line == 1 || without_blanks(text.substr(0, text.find('\n'))).empty()) {
        if (const auto foreign = foreign_text_format_of(text)) {
            return {found_at,
                    fmt::format("not TOML: {}; accepted: {}", foreign->what, foreign->accepted)};
        }
    }
    auto lines = lines_until(text, found_at.line);
    if (const auto zero = zero_character_in(lines, found_at)) return *zero;
    Place place{.lines = std::move(lines), .line = "", .at = found_at, .description = description};
    const std::string_view whole = place.lines.back();
    place.line = whole.substr(0, find_outside_quotes(whole, '#'));
    const std::string mistake = mistake_at(place);
    if (place.says("cannot redefine")) {
        // The parser stops behind the value.
        const std::size_t begin = std::min(whole.find_first_not_of(line_blanks), whole.size());
        place.at.column = static_cast<unsigned>(begin) + 1;
    }
    return {place.at, "not TOML: " + mistake};
}

}  // namespace earbudget::files
