#include "editing/statements.hpp"

#include <algorithm>

namespace earbudget::editing {

namespace {

constexpr bool is_blank(char c) { return c == ' ' || c == '\t'; }
constexpr bool is_space(char c) { return is_blank(c) || c == '\r' || c == '\n'; }

/// To the end of a line, without its line break.
std::size_t end_of_line(std::string_view text, std::size_t at) {
    const std::size_t newline = std::min(text.find('\n', at), text.size());
    return newline > at && text[newline - 1] == '\r' ? newline - 1 : newline;
}

std::size_t begin_of_next_line(std::string_view text, std::size_t at) {
    const std::size_t newline = text.find('\n', at);
    return newline == text.npos ? text.size() : newline + 1;
}

std::size_t begin_of_line(std::string_view text, std::size_t at) {
    const std::size_t newline = at == 0 ? text.npos : text.rfind('\n', at - 1);
    return newline == text.npos ? 0 : newline + 1;
}

/// Past a text in quotes, of one line or of several.
std::size_t end_of_text(std::string_view text, std::size_t begin) {
    const char quote = text[begin];
    const std::string three(3, quote);
    const bool of_lines = text.substr(begin).starts_with(three);
    const std::string end = of_lines ? three : std::string(1, quote);
    std::size_t at = begin + end.size();
    while (at < text.size() && !text.substr(at).starts_with(end))
        at += quote == '"' && text[at] == '\\' ? 2 : 1;
    at = std::min(at + end.size(), text.size());
    // Of five quotes at the end of several lines two belong to the text.
    for (int more = 0; of_lines && more < 2 && at < text.size() && text[at] == quote; ++more)
        ++at;
    return at;
}

std::size_t after_blanks_and_comments(std::string_view text, std::size_t at) {
    while (at < text.size() && (is_space(text[at]) || text[at] == '#'))
        at = text[at] == '#' ? end_of_line(text, at) : at + 1;
    return at;
}

bool is_quote(char c) { return c == '"' || c == '\''; }

/// Past brackets with all that is between them.
std::size_t end_of_brackets(std::string_view text, std::size_t begin) {
    std::size_t depth = 0;
    std::size_t at = begin;
    while (at < text.size()) {
        const char c = text[at];
        if (is_quote(c)) {
            at = end_of_text(text, at);
            continue;
        }
        if (c == '#') {
            at = end_of_line(text, at);
            continue;
        }
        if (c == '[' || c == '{') ++depth;
        if ((c == ']' || c == '}') && --depth == 0) return at + 1;
        ++at;
    }
    return at;
}

/// Where the "=" of a key stands.
std::size_t equals_after(std::string_view text, std::size_t at) {
    while (at < text.size() && text[at] != '=')
        at = is_quote(text[at]) ? end_of_text(text, at) : at + 1;
    return at;
}

/// The lines right above with nothing but a comment.
std::size_t begin_of_comments_above(std::string_view text, std::size_t line) {
    while (line > 0) {
        const std::size_t above = begin_of_line(text, line - 1);
        const std::size_t first = text.find_first_not_of(" \t", above);
        if (first >= line || text[first] != '#') break;
        line = above;
    }
    return line;
}

}  // namespace

std::size_t end_of_value(std::string_view text, std::size_t begin) {
    if (begin >= text.size()) return begin;
    if (is_quote(text[begin])) return end_of_text(text, begin);
    if (text[begin] == '[' || text[begin] == '{') return end_of_brackets(text, begin);
    std::size_t end = std::min(text.find_first_of(",]}#\r\n", begin), text.size());
    while (end > begin && is_blank(text[end - 1]))
        --end;
    return end;
}

std::vector<Statement> statements_of(std::string_view text) {
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    const std::size_t first = text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
    std::vector<Statement> all;
    for (std::size_t at = after_blanks_and_comments(text, first); at < text.size();) {
        Statement statement{.is_header = text[at] == '['};
        if (statement.is_header) {
            statement.itself = {at, end_of_brackets(text, at)};
        } else {
            const std::size_t value = after_blanks_and_comments(text, equals_after(text, at) + 1);
            statement.value = {value, end_of_value(text, value)};
            statement.itself = {at, statement.value.end};
        }
        const std::size_t begin = std::max(first, begin_of_line(text, at));
        statement.lines = {begin, end_of_line(text, statement.itself.end)};
        statement.comments_from = std::max(first, begin_of_comments_above(text, begin));
        all.push_back(statement);
        at = after_blanks_and_comments(text, begin_of_next_line(text, statement.itself.end));
    }
    return all;
}

std::vector<std::string> comments_in(std::string_view text, Span span) {
    std::vector<std::string> comments;
    for (std::size_t at = span.begin; at < span.end;) {
        if (is_quote(text[at])) {
            at = end_of_text(text, at);
        } else if (text[at] == '#') {
            Span comment{at, end_of_line(text, at)};
            at = comment.end;
            while (is_blank(text[comment.end - 1]))
                --comment.end;
            comments.emplace_back(comment.of(text));
        } else {
            ++at;
        }
    }
    return comments;
}

std::vector<Span> elements_of(std::string_view text, std::size_t begin) {
    std::vector<Span> elements;
    const bool is_table = text[begin] == '{';
    std::size_t at = after_blanks_and_comments(text, begin + 1);
    while (at < text.size() && text[at] != ']' && text[at] != '}') {
        std::size_t value = at;
        if (is_table) value = after_blanks_and_comments(text, equals_after(text, at) + 1);
        elements.push_back({at, end_of_value(text, value)});
        at = after_blanks_and_comments(text, elements.back().end);
        if (at < text.size() && text[at] == ',') at = after_blanks_and_comments(text, at + 1);
    }
    return elements;
}

}  // namespace earbudget::editing
