#include "tables/decoded_text.hpp"

#include <array>
#include <cstdint>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "earbudget/study/visible_text.hpp"
#include "files/toml_tree.hpp"

namespace earbudget::tables {

namespace {

constexpr std::string_view accepted_texts =
    "a table saved as text: CSV, UTF-8 or UTF-16 with a byte order mark";

[[noreturn]] void refuse_text(const std::string& path, const std::string& what) {
    throw InputError({path}, fmt::format("{}; accepted: {}", what, accepted_texts));
}

void append_utf8(char32_t code, std::string& text) {
    const auto byte = [&text](char32_t value) { text += static_cast<char>(value); };
    if (code < 0x80) {
        byte(code);
    } else if (code < 0x800) {
        byte(0xC0U | (code >> 6U));
        byte(0x80U | (code & 0x3FU));
    } else if (code < 0x10000) {
        byte(0xE0U | (code >> 12U));
        byte(0x80U | ((code >> 6U) & 0x3FU));
        byte(0x80U | (code & 0x3FU));
    } else {
        byte(0xF0U | (code >> 18U));
        byte(0x80U | ((code >> 12U) & 0x3FU));
        byte(0x80U | ((code >> 6U) & 0x3FU));
        byte(0x80U | (code & 0x3FU));
    }
}

bool is_high_surrogate(char32_t unit) { return unit >= 0xD800 && unit < 0xDC00; }
bool is_low_surrogate(char32_t unit) { return unit >= 0xDC00 && unit < 0xE000; }

/// RFC 2781, clause 2.2.
std::string from_utf16(std::string_view bytes, bool low_byte_first, const std::string& path) {
    if (bytes.size() % 2 != 0) refuse_text(path, "text in UTF-16 that ends within a character");
    const auto unit_at = [&](std::size_t at) -> char32_t {
        const auto first = static_cast<unsigned char>(bytes[at]);
        const auto second = static_cast<unsigned char>(bytes[at + 1]);
        return low_byte_first ? static_cast<char32_t>(second) << 8U | first
                              : static_cast<char32_t>(first) << 8U | second;
    };
    std::string text;
    for (std::size_t at = 0; at < bytes.size(); at += 2) {
        char32_t code = unit_at(at);
        if (is_high_surrogate(code) && at + 2 < bytes.size() && is_low_surrogate(unit_at(at + 2))) {
            at += 2;
            code = 0x10000 + ((code - 0xD800) << 10U) + (unit_at(at) - 0xDC00);
        } else if (is_high_surrogate(code) || is_low_surrogate(code)) {
            refuse_text(path, "text in UTF-16 with half a character");
        }
        append_utf8(code, text);
    }
    return text;
}

/// What Windows-1252 has from 0x80 to 0x9F; 0 where it has nothing (memory).
constexpr std::array<char32_t, 32> windows_1252 = {
    0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017D, 0,      0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178};

std::string from_windows_1252(std::string_view bytes, const std::string& path) {
    std::string text;
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        const bool special = byte >= 0x80 && byte < 0xA0;
        const char32_t code = special ? windows_1252[byte - 0x80U] : byte;
        if (special && code == 0)
            refuse_text(
                path,
                fmt::format("neither UTF-8 nor Windows-1252: it has the byte 0x{:02x}", byte));
        append_utf8(code, text);
    }
    return text;
}

std::string with_line_feeds(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    for (std::size_t at = 0; at < text.size(); ++at) {
        const bool pair = text[at] == '\r' && at + 1 < text.size() && text[at + 1] == '\n';
        if (!pair) result += text[at] == '\r' ? '\n' : text[at];
    }
    return result;
}

DecodedText decoded(std::string_view bytes, const std::string& path) {
    if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
    if (bytes.starts_with("\xFF\xFE"))
        return {with_line_feeds(from_utf16(bytes.substr(2), true, path))};
    if (bytes.starts_with("\xFE\xFF"))
        return {with_line_feeds(from_utf16(bytes.substr(2), false, path))};
    if (const auto foreign = files::foreign_format_of(bytes))
        refuse_text(path, fmt::format("this is {}", foreign->what));
    if (characters_of(bytes)) return {with_line_feeds(bytes)};
    return {with_line_feeds(from_windows_1252(bytes, path)),
            fmt::format("{}: taken as Windows-1252, since it is no UTF-8: look at its letters with "
                        "accents",
                        visible_text(path))};
}

}  // namespace

DecodedText decoded_text(std::string_view bytes, const std::string& path) {
    DecodedText result = decoded(bytes, path);
    if (result.text.find('\0') != std::string::npos)
        refuse_text(path, "this is no text, it has characters of zero");
    // A mark in the middle of a text is none.
    if (result.text.starts_with("\xEF\xBB\xBF")) result.text.erase(0, 3);
    return result;
}

}  // namespace earbudget::tables
