// What stands in the place of TOML: another format, or a value written in another way.
#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "files/toml_tree.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

using namespace std::string_view_literals;

constexpr std::string_view as_plain_text =
    "a TOML file, plain text as a text editor saves it, in UTF-8";

struct Signature {
    ForeignFormat format;
    std::array<std::string_view, 11> begins;  ///< of files of the format
};

constexpr ForeignFormat utf16 = {"text in UTF-16", as_plain_text};

// As the formats' own descriptions state them (memory).
constexpr Signature signatures[] = {
    {{name_of_recordings,
      "a TOML file; recordings are for earbudget measure, which writes a card of them"},
     {"RIFF", "RIFX", "RF64", "BW64", "riff", "fLaC", "FORM", "caff", "OggS", ".snd", "ID3"}},
    {{"a file of a word processor or a spreadsheet (or another archive)", as_plain_text},
     {"PK\x03\x04", "\xD0\xCF\x11\xE0", "{\\rtf", "\x1f\x8b"}},
    {{"a PDF", as_plain_text}, {"%PDF"}},
    {{"a picture", as_plain_text}, {"\x89PNG", "\xff\xd8\xff"}},
    {utf16, {"\xff\xfe", "\xfe\xff"}},
};

// Of other things too.
constexpr std::array<std::string_view, 4> containers = {"RIFF", "RIFX", "RF64", "BW64"};

constexpr std::string_view as_toml = "TOML, such as kind = \"plan\" in the first line";

std::string_view first_line_of(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(" \t\r\n"), text.size()));
    return text.substr(0, text.find_first_of("\r\n"));
}

bool is_json(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(" \t\r\n");
    if (begin == text.npos) return false;
    if (text[begin] == '{') return true;
    const std::size_t next = text.find_first_not_of(" \t\r\n", begin + 1);
    // TOML's headings too begin with a bracket.
    return text[begin] == '[' && next != text.npos && text[next] == '{';
}

/// "key: value", or the mark of a document.
bool is_yaml(std::string_view line) {
    if (line.starts_with("---") || line.starts_with("%YAML")) return true;
    const std::size_t colon = line.find(':');
    const std::size_t equals = line.find('=');
    const bool behind_a_word =
        colon != line.npos && colon > 0 && line.find_first_of(" \"'") >= colon;
    return behind_a_word && equals == line.npos &&
           (colon + 1 == line.size() || line[colon + 1] == ' ');
}

bool is_table_of_columns(std::string_view line) {
    return !line.empty() && line.find('=') == line.npos && "[#{<"sv.find(line[0]) == ""sv.npos &&
           line.find_first_of(",;\t") != line.npos;
}

/// Programs, pictures and the like: their first line has more control characters than a slip of a
/// hand brings into a text. Own choice.
bool is_no_text(std::string_view line) {
    constexpr std::ptrdiff_t most_in_text = 3;
    return std::ranges::count_if(line, [](char c) {
               return (c >= '\0' && c < ' ' && c != '\t') || c == '\x7f';
           }) > most_in_text;
}

/// As a text editor of the Macintosh wrote them until 2001 (memory).
bool has_lines_ended_by_returns(std::string_view text) {
    const std::size_t end = text.find_last_not_of(" \t\r\n");
    return text.find('\n') == text.npos && text.find('\r') < (end == text.npos ? 0 : end);
}

}  // namespace

std::optional<ForeignFormat> foreign_format_of(std::string_view bytes) {
    for (const auto& [format, begins] : signatures) {
        for (const std::string_view begin : begins) {
            if (begin.empty() || !bytes.starts_with(begin)) continue;
            const bool is_container = std::ranges::count(containers, begin) > 0;
            if (is_container && bytes.substr(0, 12).find("WAVE") != 8) continue;
            return format;
        }
    }
    // Without a mark every other byte of Latin letters is zero.
    if (bytes.size() >= 4 && (bytes[0] == '\0') != (bytes[1] == '\0') &&
        (bytes[2] == '\0') == (bytes[0] == '\0') && (bytes[3] == '\0') == (bytes[1] == '\0'))
        return utf16;
    return std::nullopt;
}

std::optional<ForeignFormat> foreign_text_format_of(std::string_view text) {
    const std::string_view line = first_line_of(text);
    if (is_no_text(line))
        return ForeignFormat{"this is no text, but control characters", as_plain_text};
    if (has_lines_ended_by_returns(text)) {
        return ForeignFormat{"lines that end in a carriage return (CR) alone",
                             "lines that end in LF, or in CR and LF"};
    }
    if (is_json(text)) return ForeignFormat{"this is JSON", as_toml};
    if (line.starts_with('<')) return ForeignFormat{"this is XML or HTML", as_toml};
    if (is_yaml(line)) return ForeignFormat{"this is YAML, with \":\" instead of \"=\"", as_toml};
    if (is_table_of_columns(line)) {
        return ForeignFormat{
            "this is a table of columns (CSV)",
            "TOML, key = value in each line, as docs/files.md shows; earbudget new FOLDER "
            "--table FILE makes such files of it"};
    }
    return std::nullopt;
}

namespace {

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

bool is_yes_or_no(std::string_view value) {
    constexpr std::array<std::string_view, 6> words = {"true", "false", "yes", "no", "on", "off"};
    return std::ranges::find(words, in_small_letters(value)) != words.end();
}

/// Digits with signs, points and commas at the begin.
std::string_view number_at_begin(std::string_view value) {
    return value.substr(0, std::min(value.find_first_not_of("+-.,0123456789"), value.size()));
}

std::string mistake_of_number(std::string_view value, std::string_view number) {
    if (const auto with_point = with_decimal_point(number)) {
        return fmt::format("{} has a decimal comma; accepted: a decimal point, {}", excerpt(number),
                           excerpt(*with_point));
    }
    if (value.find(':') != value.npos) {
        return fmt::format(
            "{} is a time without quotes; accepted: a duration in quotes, such as \"8 min\"",
            excerpt(value));
    }
    if (std::ranges::any_of(value.substr(number.size()), is_letter)) {
        const std::string quoted =
            parse_duration(value) ? "a duration in quotes" : "text in quotes";
        return fmt::format(
            "{0} without quotes; accepted: {2}, \"{0}\", or a number without its unit, {1}",
            excerpt(value), excerpt(number), quoted);
    }
    if (number.size() == value.size()) {
        return fmt::format(
            "{} is no number as TOML writes it; accepted: a digit on both sides of the point and "
            "no leading zero, such as 0.5",
            excerpt(value));
    }
    return fmt::format("\"{}\" does not end with its number; accepted: one key = value in a line",
                       excerpt(value));
}

}  // namespace

std::string excerpt(std::string_view text) {
    constexpr std::size_t longest = 40;
    if (text.size() <= longest) return std::string(text);
    std::size_t end = longest;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U)
        --end;
    return std::string(text.substr(0, end)) + "…";
}

std::string toml_value_mistake(std::string_view value) {
    if (value.empty()) return "no value behind \"=\"; accepted: key = value";
    for (const std::string_view dash : {"\u2212", "\u2013", "\u2012"}) {
        if (value.starts_with(dash)) {
            return fmt::format("{} begins with a dash; accepted: a minus as it is typed, -{}",
                               excerpt(value), excerpt(value.substr(dash.size())));
        }
    }
    if (is_yes_or_no(value)) {
        return fmt::format("{} as it stands is no value; accepted: true or false, in small letters",
                           value);
    }
    if (is_digit(value[0]) || value[0] == '+' || value[0] == '-' || value[0] == '.') {
        return mistake_of_number(value, number_at_begin(value));
    }
    if (value[0] == '[') {
        return "a list that is not written right; accepted: texts in quotes or numbers, with "
               "commas between them, [\"foam\", \"muff\"] or [20.0, 22.5]";
    }
    if (value[0] == '{') {
        return "a table in a line that is not written right; accepted: { key = value, key = value "
               "}";
    }
    if (value[0] == '"' || value[0] == '\'') {
        return "more behind the closing quote; accepted: one key = value in a line, without a "
               "comma or semicolon at the end";
    }
    return fmt::format("{0} without quotes; accepted: text in quotes, \"{0}\"", excerpt(value));
}

}  // namespace earbudget::files
