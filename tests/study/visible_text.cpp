// What others wrote is printed so that each character is seen and none acts on the terminal.
#include "earbudget/study/visible_text.hpp"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace earbudget;

namespace {

std::string utf8(char32_t code) {
    const auto byte = [](char32_t bits) { return static_cast<char>(bits); };
    if (code < 0x80) return {byte(code)};
    if (code < 0x800) return {byte(0xC0 | (code >> 6U)), byte(0x80 | (code & 0x3FU))};
    if (code < 0x10000) {
        return {byte(0xE0 | (code >> 12U)), byte(0x80 | ((code >> 6U) & 0x3FU)),
                byte(0x80 | (code & 0x3FU))};
    }
    return {byte(0xF0 | (code >> 18U)), byte(0x80 | ((code >> 12U) & 0x3FU)),
            byte(0x80 | ((code >> 6U) & 0x3FU)), byte(0x80 | (code & 0x3FU))};
}

bool is_surrogate(char32_t code) { return code >= 0xD800 && code <= 0xDFFF; }

/// Right UTF-8 without anything that a terminal obeys or does not show.
bool is_harmless(const std::string& text) {
    const auto characters = characters_of(text);
    if (!characters) return false;
    for (const char32_t character : *characters)
        if (is_unseen(character)) return false;
    return true;
}

}  // namespace

TEST_CASE("every character alone comes out as itself or, where it is not seen, as ASCII") {
    for (char32_t code = 0; code <= 0x10FFFF; ++code) {
        if (is_surrogate(code)) continue;
        const std::string text = utf8(code);
        const std::string seen = visible_text(text);
        const bool right = is_unseen(code) ? seen != text && seen.starts_with('\\') : true;
        const bool same = seen == text || (seen.starts_with("\\x") && code < 0x80) ||
                          (seen.starts_with("\\u{") && code >= 0x80);
        if (right && same && is_harmless(seen) && visible_text(seen) == seen) continue;
        CAPTURE(static_cast<unsigned>(code));
        CAPTURE(seen);
        CHECK(false);
    }
}

TEST_CASE("each kind of character that hides, controls or turns is shown") {
    const std::vector<std::pair<std::string, std::string>> kinds = {
        {"\x1b[2J\x1b[1A", "\\x1b[2J\\x1b[1A"},
        {std::string("\0", 1), "\\x00"},
        {"a\rb\tc\nd\x7f", "a\\x0db\\x09c\\x0ad\\x7f"},
        {"\x9b"
         "2J",
         "\\x9b2J"},                                 // a bare byte of C1
        {"\u009b2J", "\\u{9b}2J"},                   // the same in UTF-8
        {"a\u202eb\u202c", "a\\u{202e}b\\u{202c}"},  // overrides
        {"\u2066x\u2069", "\\u{2066}x\\u{2069}"},    // isolates
        {"\u200e\u200f\u061c", "\\u{200e}\\u{200f}\\u{61c}"},
        {"a\u2028b\u2029", "a\\u{2028}b\\u{2029}"},
        {"a\u200bb\u2060c\ufeff", "a\\u{200b}b\\u{2060}c\\u{feff}"},
        {"a\u200cb\u200dc", "a\\u{200c}b\\u{200d}c"},      // joiners that Latin does not need
        {"\U000e0041\U000e007f", "\\u{e0041}\\u{e007f}"},  // tags
        {"a\u00adb\u180e\u3164\uffa0", "a\\u{ad}b\\u{180e}\\u{3164}\\u{ffa0}"},
        {"a\ufe0e\ufe0f", "a\\u{fe0e}\\u{fe0f}"},  // forms that a letter has not
        {"\xff\xfe\xc3", "\\xff\\xfe\\xc3"},
        {"\xc0\xaf\xed\xa0\x80", "\\xc0\\xaf\\xed\\xa0\\x80"},  // too long; a surrogate
        {"\xf4\x90\x80\x80", "\\xf4\\x90\\x80\\x80"},           // beyond the last
    };
    for (const auto& [text, seen] : kinds) {
        CAPTURE(seen);
        CHECK(visible_text(text) == seen);
        CHECK(visible_text(seen) == seen);
    }
    CHECK(visible_lines("a\nb\r\n") == "a\nb\\x0d\n");
}

TEST_CASE("what scripts and pictures need stays") {
    for (const std::string text :
         {"Jörg Łukasz 山田太郎 שלום العربية हिन्दी ไทย",
          "می‌خواهم",          // Persian with a non-joiner
          "क्‍ष क्‌ष",  // Devanagari with both
          "👩‍⚕️ 👨🏽‍🔬 🏳️‍🌈 ❤️ 1️⃣ #️⃣",  // joined pictures
                                                                                  // and keys
          "e\u0301 µ – … “quoted” C:\\cards\\epi.toml"}) {
        CAPTURE(text);
        CHECK(visible_text(text) == text);
    }
    // A joiner at an end joins nothing, nor one beside another.
    CHECK(visible_text("क\u200d") == "क\\u{200d}");
    CHECK(visible_text("\u200dक") == "\\u{200d}क");
    CHECK(visible_text("क\u200d\u200dक") == "क\\u{200d}\\u{200d}क");
}

TEST_CASE("any two and three of the odd characters together are harmless and settle at once") {
    const std::vector<std::string> parts = {"a",      " ",      "\\",         "\x1b",   "\x9b",
                                            "\xe2",   "\x80",   "\n",         "\u0300", "\u061c",
                                            "क",      "ا",      "👩",          "⚕",      "\ufe0f",
                                            "\u180b", "\u180e", "ᠠ",          "\u200b", "\u200c",
                                            "\u200d", "\u202e", "\U000e0100", "山",     "\uffff"};
    for (const std::string& first : parts) {
        for (const std::string& second : parts) {
            for (const std::string& third : parts) {
                const std::string seen = visible_text(first + second + third);
                const auto characters = characters_of(seen);
                REQUIRE(characters);
                for (std::size_t n = 0; n < characters->size(); ++n) {
                    const char32_t character = (*characters)[n];
                    const bool joins = character == 0x200C || character == 0x200D;
                    if (is_unseen(character)) CHECK((joins && n > 0 && n + 1 < characters->size()));
                }
                CHECK(visible_text(seen) == seen);
            }
        }
    }
}
