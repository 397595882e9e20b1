#include "report/json_text.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "earbudget/study/visible_text.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::json;

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
        if (character && is_unseen(character->code)) {
            result += escape_of(character->code);
        } else {
            result += bytes;
        }
    }
    return result;
}

/// Stands in JSON as it is: most texts are of such characters alone.
bool is_plain(char character) {
    return character >= ' ' && character <= '~' && character != '"' && character != '\\';
}

std::string quoted(std::string_view text) {
    if (std::ranges::all_of(text, is_plain)) return fmt::format("\"{}\"", text);
    return with_escapes(
        Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace));
}

}  // namespace

const void* Outer::find(const void* type) const {
    const auto innermost = std::find_if(objects_.rbegin(), objects_.rend(),
                                        [type](const auto& one) { return one.first == type; });
    if (innermost == objects_.rend())
        throw std::logic_error("a part of a report without what it stands in");
    return innermost->second;
}

void JsonText::begin_line() {
    text_ += '\n';
    text_.append(2 * depth_, ' ');
}

void JsonText::begin_value() {
    if (!std::exchange(after_key_, false)) {
        if (!is_empty_) text_ += ',';
        begin_line();
    }
    is_empty_ = false;
}

void JsonText::add(std::string_view value) {
    begin_value();
    text_ += value;
}

void JsonText::open(char bracket) {
    begin_value();
    text_ += bracket;
    ++depth_;
    is_empty_ = true;
}

void JsonText::close(char bracket) {
    --depth_;
    if (!std::exchange(is_empty_, false)) begin_line();
    text_ += bracket;
    check_size(text_);
}

void JsonText::key(std::string_view name) {
    begin_value();
    text_ += quoted(name) + ": ";
    after_key_ = true;
}

void JsonText::number(double value) { add(Json(value == 0.0 ? 0.0 : value).dump()); }

void JsonText::text(std::string_view value) { add(quoted(value)); }

std::string JsonText::take() { return std::move(text_) + "\n"; }

}  // namespace earbudget::report
