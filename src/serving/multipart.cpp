#include "serving/multipart.hpp"

#include <algorithm>
#include <optional>

namespace earbudget::serving {

namespace {

constexpr std::string_view blanks_of_a_line = " \t";

char small(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

bool same_word(std::string_view one, std::string_view other) {
    return std::ranges::equal(one, other, {}, small, small);
}

std::string_view trimmed(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(blanks_of_a_line);
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(blanks_of_a_line) - begin + 1);
}

/// Up to the next semicolon that does not stand in quotes.
std::string_view next_parameter(std::string_view& left) {
    bool quoted = false;
    std::size_t end = 0;
    for (; end < left.size() && (quoted || left[end] != ';'); ++end)
        if (left[end] == '"') quoted = !quoted;
    const std::string_view one = left.substr(0, end);
    left.remove_prefix(std::min(end + 1, left.size()));
    return trimmed(one);
}

/// The value of a parameter, without its quotes; browsers put no backslashes before anything.
std::optional<std::string> parameter(std::string_view header, std::string_view name) {
    static_cast<void>(next_parameter(header));  // what it is
    while (!header.empty()) {
        const std::string_view one = next_parameter(header);
        const std::size_t equals = one.find('=');
        if (equals == std::string_view::npos || !same_word(trimmed(one.substr(0, equals)), name))
            continue;
        std::string_view value = trimmed(one.substr(equals + 1));
        if (value.size() >= 2 && value.front() == '"' && value.back() == '"')
            value = value.substr(1, value.size() - 2);
        return std::string(value);
    }
    return std::nullopt;
}

/// The value of a line of that name in a part's head; empty for none.
std::string_view line_in(std::string_view head, std::string_view name) {
    while (!head.empty()) {
        const std::size_t end = std::min(head.find("\r\n"), head.size());
        const std::string_view line = head.substr(0, end);
        head.remove_prefix(std::min(end + 2, head.size()));
        const std::size_t colon = line.find(':');
        if (colon != std::string_view::npos && same_word(trimmed(line.substr(0, colon)), name))
            return trimmed(line.substr(colon + 1));
    }
    return {};
}

}  // namespace

std::string media_type(std::string_view content_type) {
    std::string type(trimmed(content_type.substr(0, content_type.find(';'))));
    std::ranges::transform(type, type.begin(), small);
    return type;
}

std::string boundary_in(std::string_view content_type) {
    constexpr std::size_t longest = 70;
    const auto boundary = parameter(content_type, "boundary");
    const auto is_fit = [](char letter) { return letter >= ' ' && letter <= '~'; };
    if (!boundary || boundary->size() > longest || !std::ranges::all_of(*boundary, is_fit))
        return {};
    return *boundary;
}

bool MultipartReader::take(std::string_view data) {
    if (at_ == At::End) return true;  // what follows the last boundary means nothing
    waiting_ += data;
    std::size_t from = 0;
    bool stands = false;
    while (!stands && at_ != At::End)
        if (!step(from, stands)) return false;
    waiting_.erase(0, from);
    return true;
}

bool MultipartReader::step(std::size_t& from, bool& stands) {
    const std::string_view left = std::string_view(waiting_).substr(from);
    if (at_ == At::Content) return content(left, from, stands);
    if (at_ == At::Boundary) {
        stands = left.size() < 2;
        if (stands) return true;
        const bool last = left.starts_with("--");
        if (!last && !left.starts_with("\r\n")) return false;
        at_ = last ? At::End : At::Head;
        // The line break stays: the head's own end is one after another, even where it is empty.
        if (last) from += 2;
        return true;
    }
    constexpr std::string_view end_of_head = "\r\n\r\n";
    const std::size_t end = left.find(end_of_head);
    if (std::min(end, left.size()) > longest_head) return false;
    stands = end == std::string_view::npos;
    if (stands) return true;
    from += end + end_of_head.size();
    at_ = At::Content;
    return begin(left.substr(0, end));
}

bool MultipartReader::content(std::string_view left, std::size_t& from, bool& stands) {
    const std::size_t end = left.find(delimiter_);
    stands = end == std::string_view::npos;
    // What may be the begin of a boundary waits.
    const std::size_t sure =
        stands ? left.size() - std::min(left.size(), delimiter_.size() - 1) : end;
    from += sure;
    if (!in_part_ && sure > 0) return false;  // nothing stands before the first boundary
    if (in_part_ && sure > 0 && !sink_.take_part(left.substr(0, sure))) return false;
    if (stands) return true;
    from += delimiter_.size();
    at_ = At::Boundary;
    return !in_part_ || sink_.end_part();
}

bool MultipartReader::begin(std::string_view head) {
    const std::string_view disposition = line_in(head, "Content-Disposition");
    auto name = parameter(disposition, "name");
    if (media_type(disposition) != "form-data" || !name) return false;
    auto file = parameter(disposition, "filename");
    in_part_ = true;
    const bool is_file = file.has_value();
    return sink_.begin_part(std::move(*name), is_file, is_file ? std::move(*file) : std::string());
}

}  // namespace earbudget::serving
