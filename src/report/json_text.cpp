#include "report/json_text.hpp"

#include <cstdint>
#include <string_view>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/study/visible_text.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

/// In UTF-16, as JSON escapes.
std::string escape_of(char32_t character) {
    const auto code = static_cast<std::uint32_t>(character);
    if (code < 0x10000) return fmt::format("\\u{:04x}", code);
    const std::uint32_t rest = code - 0x10000;
    return fmt::format("\\u{:04x}\\u{:04x}", 0xD800 + (rest >> 10U), 0xDC00 + (rest & 0x3FFU));
}

std::string with_escapes(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    while (!text.empty()) {
        const auto character = first_character(text);
        const std::string_view bytes = text.substr(0, character ? character->bytes : 1);
        text.remove_prefix(bytes.size());
        // Line feeds are the layout's: those of texts are escaped already.
        if (character && character->code != '\n' && is_unseen(character->code)) {
            result += escape_of(character->code);
        } else {
            result += bytes;
        }
    }
    return result;
}

void without_negative_zeros(Json& json) {
    if (json.is_number_float() && json.get<double>() == 0.0) json = 0.0;
    if (!json.is_structured()) return;
    for (Json& part : json)
        without_negative_zeros(part);
}

}  // namespace

std::string json_text(Json report) {
    without_negative_zeros(report);
    return with_escapes(report.dump(2, ' ', false, Json::error_handler_t::replace)) + "\n";
}

}  // namespace earbudget::report
