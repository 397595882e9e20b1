#include "waveforms/text_lines.hpp"

#include <charconv>
#include <cmath>
#include <cstring>
#include <limits>
#include <system_error>

#include <fmt/format.h>

namespace earbudget::waveforms {

namespace {

constexpr std::size_t window_bytes = std::size_t{1} << 16U;
static_assert(window_bytes > longest_line);

bool is_blank(char c) { return c == ' ' || c == '\t'; }

}  // namespace

TextLines::TextLines(const files::OpenFile& file, LinePlace begin)
    : file_(file),
      name_(file.path()),
      window_(window_bytes),
      read_to_(begin.offset),
      place_(begin),
      next_(begin) {}

void TextLines::go_to(LinePlace place) {
    begin_ = end_ = 0;
    read_to_ = place.offset;
    place_ = next_ = place;
    text_ = {};
}

void TextLines::fill() {
    std::memmove(window_.data(), window_.data() + begin_, end_ - begin_);
    end_ -= begin_;
    begin_ = 0;
    try {
        const std::size_t got =
            file_.read_at(read_to_, {window_.data() + end_, window_.size() - end_});
        end_ += got;
        read_to_ += got;
    } catch (const files::CannotRead& cannot) {
        if (files::is_machine_fault(cannot.error()))
            throw std::system_error(cannot.error(), std::generic_category(), file_.path());
        throw InputError(
            {name_, next_.line},
            fmt::format("cannot be read: {}; accepted: a file that can be read", cannot.what()));
    }
}

bool TextLines::next() {
    const auto line_end = [this] {
        return static_cast<const char*>(std::memchr(window_.data() + begin_, '\n', end_ - begin_));
    };
    const char* end = begin_ == end_ ? nullptr : line_end();
    if (!end) {
        fill();
        if (begin_ == end_) return false;
        end = line_end();
    }
    const char* const start = window_.data() + begin_;
    const std::size_t length = end ? static_cast<std::size_t>(end - start) : end_ - begin_;
    place_ = next_;
    text_ = std::string_view(start, length);
    if (length > longest_line) {
        throw InputError(at(), fmt::format("a line of more than {0} bytes; accepted: lines of at "
                                           "most {0} bytes",
                                           longest_line));
    }
    if (const auto zero = text_.find('\0'); zero != text_.npos)
        throw InputError(at(zero), "a zero byte, so this is no text; accepted: a file of text");
    begin_ += length + (end ? 1 : 0);
    next_.offset = place_.offset + length + (end ? 1 : 0);
    if (next_.line == std::numeric_limits<unsigned>::max())
        throw InputError(at(), "too many lines; accepted: fewer than 4294967295");
    ++next_.line;
    if (text_.ends_with('\r')) text_.remove_suffix(1);
    if (place_.offset == 0 && text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
    return true;
}

SourcePosition TextLines::at(std::size_t byte) const {
    return {name_, place_.line, static_cast<unsigned>(byte + 1)};
}

Words::Words(const TextLines& lines, std::string_view accepted)
    : lines_(lines), accepted_(accepted) {}

std::optional<std::string_view> Words::next() {
    const std::string_view text = lines_.text();
    while (at_ < text.size() && is_blank(text[at_]))
        ++at_;
    last_ = at_;
    while (at_ < text.size() && !is_blank(text[at_]))
        ++at_;
    if (at_ == last_) return std::nullopt;
    return text.substr(last_, at_ - last_);
}

std::string_view Words::word(std::string_view what) {
    const auto found = next();
    if (!found) refuse(fmt::format("{} is missing", what), accepted_);
    return *found;
}

double Words::number(std::string_view what, double lowest, double highest) {
    const std::string_view text = word(what);
    const auto value = finite_number(text);
    if (!value) {
        refuse(fmt::format("{} is no number: \"{}\"", what, shown(text)),
               "a finite number such as -1.25e6");
    }
    if (*value < lowest || *value > highest) {
        refuse(fmt::format("{} is {}", what, shown(text)),
               fmt::format("from {:g} to {:g}", lowest, highest));
    }
    return *value;
}

std::int64_t Words::whole(std::string_view what, std::int64_t lowest, std::int64_t highest) {
    const std::string_view text = word(what);
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (end != text.data() + text.size() || error == std::errc::invalid_argument) {
        refuse(fmt::format("{} is no whole number: \"{}\"", what, shown(text)),
               fmt::format("a whole number from {} to {}", lowest, highest));
    }
    if (error != std::errc() || value < lowest || value > highest) {
        refuse(fmt::format("{} is {}", what, shown(text)),
               fmt::format("a whole number from {} to {}", lowest, highest));
    }
    return value;
}

void Words::end() {
    if (const auto more = next())
        refuse(fmt::format("one value too many: \"{}\"", shown(*more)), accepted_);
}

void Words::refuse(const std::string& what, std::string_view accepted) const {
    throw InputError(place(), fmt::format("{}; accepted: {}", what, accepted));
}

std::optional<double> finite_number(std::string_view word) {
    if (word.starts_with('+') && !word.starts_with("+-")) word.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (end != word.data() + word.size() || word.empty()) return std::nullopt;
    if (error == std::errc::result_out_of_range) {
        const std::size_t exponent = word.find_first_of("eE");
        const bool is_small = exponent != word.npos && word.substr(exponent + 1).starts_with('-');
        return is_small ? std::optional(0.0) : std::nullopt;
    }
    if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
    return value;
}

std::string shown(std::string_view word) {
    constexpr std::size_t longest = 40;
    return fmt::format("{}{}", word.substr(0, longest), word.size() > longest ? "…" : "");
}

}  // namespace earbudget::waveforms
