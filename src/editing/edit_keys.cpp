#include <algorithm>

#include <fmt/format.h>

#include "editing/splices.hpp"

namespace earbudget::editing {

using files::TomlArray;
using files::TomlTable;
using files::TomlValue;

namespace {

/// The blanks that a line begins with.
std::string_view indent_of(std::string_view text, std::size_t line) {
    const std::size_t first = std::min(text.find_first_not_of(" \t", line), text.size());
    return text.substr(line, first - line);
}

/// Comments on lines of their own, as far in as the line that they stand above.
std::string comment_lines(const Outline& outline, std::size_t line,
                          const std::vector<std::string>& comments) {
    std::string lines;
    for (const std::string& comment : comments) {
        lines += indent_of(outline.text(), line);
        lines += comment + outline.line_break();
    }
    return lines;
}

bool is_table_or_tables(const TomlValue& value) {
    if (std::holds_alternative<TomlTable>(value.content)) return true;
    const auto* array = std::get_if<TomlArray>(&value.content);
    return array && !array->empty() && std::holds_alternative<TomlTable>(array->front().content);
}

std::vector<Splice> replaced_value(const Set& set, const TomlValue& old, const Outline& outline) {
    if (is_alike(old, read_value(set.value))) return {};
    const std::size_t begin = outline.offset_of(old.position);
    if (is_table_or_tables(old)) {
        outline.refuse(begin,
                       fmt::format("\"{}\" is a table; accepted: a key with one value", set.key));
    }
    const Span value{begin, end_of_value(outline.text(), begin)};
    std::vector<Splice> splices;
    const std::size_t line = outline.statement_at(begin).lines.begin;
    const auto comments = comments_in(outline.text(), value);
    if (!comments.empty())
        splices.push_back({{line, line}, comment_lines(outline, line, comments)});
    splices.push_back({value, written_value(set.value)});
    return splices;
}

/// A key more, after the last of the table's own.
Splice after_statement(const Statement& last, const std::string& pair, const Outline& outline) {
    std::string line = outline.line_break();
    if (!last.is_header) line += indent_of(outline.text(), last.lines.begin);
    return {{last.lines.end, last.lines.end}, line + pair};
}

/// Lines before the first header, with what is above it, or at the end where there is none.
Splice before_first_header(const std::string& lines, bool blank_above, const Outline& outline) {
    const std::string line_break = outline.line_break();
    if (outline.sections().empty()) {
        const std::string& text = outline.text();
        std::string begin = text.empty() || text.ends_with('\n') ? "" : line_break;
        if (blank_above && !text.empty()) begin += line_break;
        return {{text.size(), text.size()}, begin + lines + line_break};
    }
    const std::size_t at = outline.statements()[outline.sections().front().header].comments_from;
    return {{at, at}, lines + line_break + line_break};
}

Splice added_to_inline(const FoundTable& table, const std::string& pair, const Outline& outline) {
    const auto elements = elements_of(outline.text(), table.at);
    if (elements.empty()) {
        const std::size_t end = end_of_value(outline.text(), table.at);
        return {{table.at, end}, "{ " + pair + " }"};
    }
    return {{elements.back().end, elements.back().end}, ", " + pair};
}

Splice added_key(const Set& set, const FoundTable& table, const Outline& outline) {
    const std::string pair = written_pair(set.key, set.value);
    const auto& statements = outline.statements();
    switch (table.form) {
        case Form::Root: {
            const std::size_t own =
                outline.sections().empty() ? statements.size() : outline.sections().front().header;
            return own > 0 ? after_statement(statements[own - 1], pair, outline)
                           : before_first_header(pair, false, outline);
        }
        case Form::Header:
            return after_statement(statements[outline.section_of(set.table)->end - 1], pair,
                                   outline);
        case Form::Inline:
            return added_to_inline(table, pair, outline);
        case Form::Implied: {
            const std::size_t at = outline.parts_of(set.table).front().begin;
            const std::string line_break = outline.line_break();
            return {{at, at},
                    fmt::format("[{}]{}{}{}{}", written_name(set.table), line_break, pair,
                                line_break, line_break)};
        }
        case Form::Dotted:
            break;
    }
    outline.refuse(table.at, fmt::format("\"{}\" is written as dotted keys, beside which no key is "
                                         "added; accepted: [{}] with its keys below, or a change "
                                         "by hand",
                                         written_name(set.table), written_name(set.table)));
}

/// A table that there is not, with one key.
Splice added_table(const Set& set, const Outline::Reached& reached, const Outline& outline) {
    const auto& steps = set.table.steps();
    Path around;
    for (std::size_t n = 0; n < steps.size(); ++n) {
        if (n < reached.steps)
            around = around / steps[n];
        else if (!std::holds_alternative<std::string>(steps[n]))
            outline.refuse(reached.found.at, fmt::format("\"{}\" has no such entry; accepted: one "
                                                         "that the file has",
                                                         written_name(set.table)));
    }
    const auto* next = std::get_if<std::string>(&steps[reached.steps]);
    const TomlValue* in_the_way = next ? outline.value(reached.found, *next) : nullptr;
    if (in_the_way) {
        outline.refuse(outline.offset_of(in_the_way->position),
                       fmt::format("\"{}\" is no table; accepted: a table", *next));
    }
    const std::string line_break = outline.line_break();
    const std::string lines = fmt::format("[{}]{}{}", written_name(set.table), line_break,
                                          written_pair(set.key, set.value));
    if (reached.found.form == Form::Root) return before_first_header(lines, true, outline);
    if (const HeaderSection* section = outline.section_of(around)) {
        const std::size_t end = outline.statements()[section->end - 1].lines.end;
        return {{end, end}, line_break + line_break + lines};
    }
    if (reached.found.form == Form::Implied) {
        const std::size_t at = outline.parts_of(around).front().begin;
        return {{at, at}, lines + line_break + line_break};
    }
    outline.refuse(reached.found.at, fmt::format("\"{}\" is not written below a header of its own; "
                                                 "accepted: [{}] with its keys below, or a change "
                                                 "by hand",
                                                 written_name(around), written_name(around)));
}

Splice without_element(const FoundTable& table, std::size_t value, const Outline& outline) {
    const auto elements = elements_of(outline.text(), table.at);
    const auto element = std::ranges::find_if(
        elements, [&](const Span& each) { return each.begin <= value && value < each.end; });
    if (element == elements.end()) throw std::logic_error("a value is of no inline table");
    if (element + 1 != elements.end()) return {{element->begin, (element + 1)->begin}, ""};
    return element == elements.begin() ? Splice{*element, ""}
                                       : Splice{{(element - 1)->end, element->end}, ""};
}

}  // namespace

std::vector<Splice> splices_for(const Set& set, const Outline& outline) {
    const Outline::Reached reached = outline.reach(set.table);
    if (reached.steps < set.table.steps().size()) return {added_table(set, reached, outline)};
    if (const TomlValue* old = outline.value(reached.found, set.key))
        return replaced_value(set, *old, outline);
    return {added_key(set, reached.found, outline)};
}

std::vector<Splice> splices_for(const Remove& remove, const Outline& outline) {
    const Outline::Reached reached = outline.reach(remove.table);
    if (reached.steps < remove.table.steps().size()) return {};
    const TomlValue* value = outline.value(reached.found, remove.key);
    if (!value) return {};
    const std::vector<Span> parts = outline.parts_of(remove.table / remove.key);
    std::vector<Splice> splices;
    for (const Span& part : parts)
        splices.push_back(without_lines(outline, part));
    if (!parts.empty()) return splices;
    const std::size_t at = outline.offset_of(value->position);
    if (reached.found.form == Form::Inline) return {without_element(reached.found, at, outline)};
    if (std::holds_alternative<TomlTable>(value->content) && outline.text()[at] != '{') {
        outline.refuse(at, fmt::format("\"{}\" is written as dotted keys; accepted: a change by "
                                       "hand",
                                       remove.key));
    }
    const Statement& statement = outline.statement_at(at);
    const auto comments = comments_in(outline.text(), {statement.value.begin, statement.lines.end});
    if (comments.empty()) return {without_lines(outline, statement.lines)};
    std::string lines = comment_lines(outline, statement.lines.begin, comments);
    lines.resize(lines.size() - outline.line_break().size());
    return {{statement.lines, lines}};
}

}  // namespace earbudget::editing
