#include "report/html/markup.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <fmt/format.h>

namespace earbudget::report::html {

namespace {

bool begins_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; }

/// U+202A to U+202E and U+2066 to U+2069 in UTF-8: until they are closed they turn the direction of
/// all that follows, so that one text could turn the words after it.
bool turns_what_follows(std::string_view character) {
    if (character.size() != 3 || character[0] != '\xE2') return false;
    const auto second = static_cast<unsigned char>(character[1]);
    const auto third = static_cast<unsigned char>(character[2]);
    return (second == 0x80U && third >= 0xAAU && third <= 0xAEU) ||
           (second == 0x81U && third >= 0xA6U && third <= 0xA9U);
}

/// The first character with its continuation bytes.
std::string_view first_character(std::string_view text) {
    std::size_t length = 1;
    while (length < text.size() && !begins_character(text[length]))
        ++length;
    return text.substr(0, length);
}

}  // namespace

std::string escaped(std::string_view text) {
    constexpr std::array<std::pair<char, std::string_view>, 5> entities = {
        {{'&', "&amp;"}, {'<', "&lt;"}, {'>', "&gt;"}, {'"', "&quot;"}, {'\'', "&#39;"}}};
    std::string result;
    result.reserve(text.size());
    while (!text.empty()) {
        const std::string_view character = first_character(text);
        text.remove_prefix(character.size());
        if (turns_what_follows(character)) continue;
        const auto code = static_cast<unsigned char>(character.front());
        const auto entity = std::ranges::find(entities, character.front(),
                                              &std::pair<char, std::string_view>::first);
        if (entity != entities.end()) {
            result += entity->second;
            result += character.substr(1);
        } else if (code < 0x20U || code == 0x7FU) {
            result += ' ';
        } else {
            result += character;
        }
    }
    return result;
}

std::string text(std::string_view text) { return "<bdi>" + escaped(text) + "</bdi>"; }

std::string css_text(std::string_view text) {
    std::string result;
    while (!text.empty()) {
        const std::string_view character = first_character(text);
        text.remove_prefix(character.size());
        if (turns_what_follows(character)) continue;
        const auto code = static_cast<unsigned char>(character.front());
        const bool plain = code >= 0x80U || (code >= '0' && code <= '9') ||
                           (code >= 'A' && code <= 'Z') || (code >= 'a' && code <= 'z');
        if (plain) {
            result += character;
        } else {
            result += fmt::format("\\{:06x}", code < 0x20U ? 0x20U : code);
        }
    }
    return result;
}

std::string shortened(std::string_view text, std::size_t most) {
    std::string result;
    std::size_t last = 0;
    std::size_t count = 0;
    while (!text.empty()) {
        if (++count > most) return result.substr(0, last) + "…";
        const std::string_view character = first_character(text);
        last = result.size();
        result += character;
        text.remove_prefix(character.size());
    }
    return result;
}

std::string element(std::string_view name, std::string_view content) {
    return fmt::format("<{0}>{1}</{0}>\n", name, content);
}

std::string element(std::string_view name, std::string_view css_class, std::string_view content) {
    return fmt::format("<{0} class=\"{1}\">{2}</{0}>\n", name, css_class, content);
}

std::string list_of(const std::vector<std::string>& sentences, std::string_view css_class) {
    if (sentences.empty()) return "";
    std::string items;
    for (const std::string& sentence : sentences)
        items += element("li", text(sentence));
    return element("ul", css_class, "\n" + items);
}

std::string section(std::string_view id, unsigned level, std::string_view heading,
                    std::string_view content, std::string_view css_class) {
    return fmt::format(
        "<section class=\"{0}\" id=\"{1}\" aria-labelledby=\"{1}-heading\">\n"
        "<h{2} id=\"{1}-heading\">{3}</h{2}>\n{4}</section>\n",
        css_class, id, level, heading, content);
}

}  // namespace earbudget::report::html
