#include <algorithm>

#include <fmt/format.h>

#include "editing/splices.hpp"

namespace earbudget::editing {

namespace {

/// Throws InputError where there is no such entry.
void check_entry(const Outline& outline, const Path& array, std::size_t index, std::size_t count) {
    if (index < count) return;
    outline.refuse(0, fmt::format("there is no entry {} of \"{}\"; accepted: 1 to {}", index + 1,
                                  written_name(array), count));
}

/// Lines before an entry, or after it: with a blank line between where the file has such.
Splice beside(const Outline& outline, Span entry, bool after, const std::string& lines) {
    std::string between = outline.line_break();
    if (is_blank_above(outline, entry.begin)) between += outline.line_break();
    return after ? Splice{{entry.end, entry.end}, between + lines}
                 : Splice{{entry.begin, entry.begin}, lines + between};
}

std::string written_entry(const InsertEntry& insert, const Outline& outline) {
    std::string lines = fmt::format("[[{}]]", written_name(insert.array));
    for (const auto& [key, value] : insert.keys)
        lines += outline.line_break() + written_pair(key, value);
    return lines;
}

/// The first of its array: after the table around it, at the end of a file.
Splice first_entry(const InsertEntry& insert, const Outline& outline) {
    Path around;
    for (std::size_t n = 0; n + 1 < insert.array.steps().size(); ++n)
        around = around / insert.array.steps()[n];
    const FoundTable in = outline.find(around);
    const std::string lines = written_entry(insert, outline);
    const std::string line_break = outline.line_break();
    if (in.form == Form::Header) {
        const std::size_t end = outline.part_of(around).end;
        return {{end, end}, line_break + lines};
    }
    if (in.form != Form::Root) {
        outline.refuse(in.at, fmt::format("\"{}\" is not written below a header of its own; "
                                          "accepted: a change by hand",
                                          written_name(around)));
    }
    const std::string& text = outline.text();
    const std::string begin = text.empty()           ? ""
                              : text.ends_with('\n') ? line_break
                                                     : line_break + line_break;
    return {{text.size(), text.size()}, begin + lines + line_break};
}

}  // namespace

bool is_blank_above(const Outline& outline, std::size_t line) {
    const std::string& text = outline.text();
    if (line < 2) return false;
    const std::size_t last = text.find_last_not_of(" \t\r", line - 2);
    return last == text.npos || text[last] == '\n';
}

Splice without_lines(const Outline& outline, Span lines) {
    const std::string& text = outline.text();
    const auto next_line = [&](std::size_t at) {
        const std::size_t newline = text.find('\n', at);
        return newline == text.npos ? text.size() : newline + 1;
    };
    std::size_t end = next_line(lines.end);
    const std::size_t next = next_line(end);
    const bool blank_below =
        end < text.size() && text.find_first_not_of(" \t\r\n", end) >= next && next > end;
    if (blank_below && (lines.begin == 0 || is_blank_above(outline, lines.begin))) end = next;
    return {{lines.begin, end}, ""};
}

std::vector<Splice> splices_for(const MoveEntry& move, const Outline& outline) {
    const std::size_t count = outline.entries(move.array);
    check_entry(outline, move.array, move.from, count);
    check_entry(outline, move.array, move.to, count);
    std::vector<std::size_t> order;
    for (std::size_t n = 0; n < count; ++n)
        order.push_back(n);
    order.erase(order.begin() + static_cast<std::ptrdiff_t>(move.from));
    order.insert(order.begin() + static_cast<std::ptrdiff_t>(move.to), move.from);
    // Each into the place of another, so that what stands between the places stays there.
    std::vector<Splice> splices;
    for (std::size_t n = 0; n < count; ++n) {
        if (order[n] == n) continue;
        const Span from = outline.part_of(move.array / order[n]);
        splices.push_back({outline.part_of(move.array / n), std::string(from.of(outline.text()))});
    }
    return splices;
}

std::vector<Splice> splices_for(const RemoveEntry& remove, const Outline& outline) {
    check_entry(outline, remove.array, remove.index, outline.entries(remove.array));
    std::vector<Splice> splices;
    for (const Span& part : outline.parts_of(remove.array / remove.index))
        splices.push_back(without_lines(outline, part));
    return splices;
}

std::vector<Splice> splices_for(const DuplicateEntry& copy, const Outline& outline) {
    check_entry(outline, copy.array, copy.index, outline.entries(copy.array));
    const Span entry = outline.part_of(copy.array / copy.index);
    return {beside(outline, entry, true, std::string(entry.of(outline.text())))};
}

std::vector<Splice> splices_for(const InsertEntry& insert, const Outline& outline) {
    const std::size_t count = outline.entries(insert.array);
    if (count == 0) {
        check_entry(outline, insert.array, insert.index, 1);
        return {first_entry(insert, outline)};
    }
    check_entry(outline, insert.array, insert.index, count + 1);
    const bool after = insert.index == count;
    const Span entry = outline.part_of(insert.array / (after ? count - 1 : insert.index));
    return {beside(outline, entry, after, written_entry(insert, outline))};
}

}  // namespace earbudget::editing
