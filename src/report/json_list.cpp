#include "report/json_list.hpp"

#include <stdexcept>
#include <string_view>

#include "report/json_text.hpp"
#include "report/report_size.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

/// Without the line break at the end.
std::string printed(Json json) {
    std::string text = json_text(std::move(json));
    text.pop_back();
    return text;
}

/// Texts hold no line break as it is, so that each begins a line of the printed JSON.
void add_indented(std::string_view text, std::string_view indent, std::string& to) {
    for (std::size_t begin = 0; begin < text.size();) {
        const std::size_t end = std::min(text.find('\n', begin), text.size() - 1) + 1;
        to += text.substr(begin, end - begin);
        if (end < text.size()) to += indent;
        begin = end;
    }
}

}  // namespace

std::string text_with_list(const Json& object, const std::string& key, std::size_t count,
                           const std::function<Json(std::size_t)>& element) {
    const std::string whole = printed(object);
    // Nothing but a member of the object itself begins a line so.
    const std::string name = "\n  \"" + key + "\": ";
    const std::string_view absent = "null";
    const auto place = whole.find(name + std::string(absent));
    if (place == std::string::npos) throw std::logic_error("no place for the list " + key);
    std::string text = whole.substr(0, place + name.size());
    text += count == 0 ? "[" : "[\n    ";
    for (std::size_t n = 0; n < count; ++n) {
        if (n > 0) text += ",\n    ";
        add_indented(printed(element(n)), "    ", text);
        check_size(text);
    }
    text += count == 0 ? "]" : "\n  ]";
    text += whole.substr(place + name.size() + absent.size());
    text += '\n';
    return text;
}

}  // namespace earbudget::report
