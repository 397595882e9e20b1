#include "serving/target.hpp"

#include <algorithm>

#include "earbudget/study/visible_text.hpp"

namespace earbudget::serving {

namespace {

int digit_of(char letter) {
    if (letter >= '0' && letter <= '9') return letter - '0';
    if (letter >= 'A' && letter <= 'F') return letter - 'A' + 10;
    if (letter >= 'a' && letter <= 'f') return letter - 'a' + 10;
    return -1;
}

bool leads_elsewhere(std::string_view path) {
    while (!path.empty()) {
        path.remove_prefix(1);  // the slash
        const std::string_view segment = path.substr(0, path.find('/'));
        if (segment == "." || segment == "..") return true;
        path.remove_prefix(segment.size());
    }
    return false;
}

bool is_never_sent(char byte) {
    constexpr char escape_of_deletion = 0x7f;
    return (byte >= 0 && byte < ' ') || byte == escape_of_deletion || byte == '\\';
}

}  // namespace

std::optional<char> byte_escaped_at(std::string_view text, std::size_t at) {
    constexpr int base = 16;
    if (at + 2 >= text.size() || text[at] != '%') return std::nullopt;
    const int high = digit_of(text[at + 1]), low = digit_of(text[at + 2]);
    if (high < 0 || low < 0) return std::nullopt;
    return static_cast<char>(high * base + low);
}

std::optional<std::string> path_in(std::string_view target) {
    const std::string_view written = target.substr(0, target.find('?'));
    if (!written.starts_with('/') || written.find('#') != std::string_view::npos)
        return std::nullopt;
    std::string path;
    for (std::size_t at = 0; at < written.size(); ++at) {
        if (written[at] != '%') {
            path += written[at];
            continue;
        }
        const auto byte = byte_escaped_at(written, at);
        if (!byte) return std::nullopt;
        path += *byte;
        at += 2;
    }
    if (std::ranges::any_of(path, is_never_sent) || leads_elsewhere(path) || !characters_of(path))
        return std::nullopt;
    return path;
}

std::string_view query_in(std::string_view target) {
    const std::size_t question = target.find('?');
    return question == std::string_view::npos ? std::string_view() : target.substr(question + 1);
}

}  // namespace earbudget::serving
