#include "editing/outline.hpp"

#include <algorithm>
#include <map>
#include <stdexcept>

#include <fmt/format.h>

#include "earbudget/study/input_error.hpp"
#include "files/written_values.hpp"

namespace earbudget::editing {

using files::TomlArray;
using files::TomlEntry;
using files::TomlTable;
using files::TomlValue;

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool begins(const Path& table, const Path& other) {
    return std::ranges::mismatch(table.steps(), other.steps()).in1 == table.steps().end();
}

bool is_bare(std::string_view key) {
    const auto fits = [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || files::is_digit(c) || c == '_' ||
               c == '-';
    };
    return !key.empty() && std::ranges::all_of(key, fits);
}

}  // namespace

std::string written_key(std::string_view key) {
    return is_bare(key) ? std::string(key) : files::toml_string(key);
}

std::string written_name(const Path& table) {
    std::string name;
    for (const Step& step : table.steps()) {
        const auto* key = std::get_if<std::string>(&step);
        if (key) name += (name.empty() ? "" : ".") + written_key(*key);
    }
    return name;
}

Outline::Outline(std::string text, const FileName& file)
    : text_(std::move(text)), file_(file), tree_(files::parse_toml(text_, file)) {
    lines_.push_back(text_.starts_with(byte_order_mark) ? byte_order_mark.size() : 0);
    for (std::size_t at = text_.find('\n'); at != text_.npos; at = text_.find('\n', at + 1))
        lines_.push_back(at + 1);
    statements_ = statements_of(text_);
    for (std::size_t n = 0; n < statements_.size(); ++n) {
        if (!sections_.empty()) sections_.back().end = n + 1;
        if (!statements_[n].is_header) continue;
        if (!sections_.empty()) sections_.back().end = n;
        sections_.push_back({n, n + 1, {}});
    }
    add_headers(tree_, {});
}

std::string Outline::line_break() const {
    const std::size_t newline = text_.find('\n');
    return newline != text_.npos && newline > 0 && text_[newline - 1] == '\r' ? "\r\n" : "\n";
}

std::size_t Outline::offset_of(const SourcePosition& position) const {
    std::size_t at = lines_.at(position.line - 1);
    const auto is_continued = [this](std::size_t n) {
        return n < text_.size() && (static_cast<unsigned char>(text_[n]) & 0xC0U) == 0x80U;
    };
    for (unsigned column = 1; column < position.column; ++column) {
        do
            ++at;
        while (is_continued(at));
    }
    return at;
}

const Statement& Outline::statement_at(std::size_t offset) const {
    const auto after = std::ranges::upper_bound(
        statements_, offset, {}, [](const Statement& each) { return each.itself.begin; });
    if (after == statements_.begin()) throw std::logic_error("a value is of no statement");
    return *(after - 1);
}

bool Outline::is_header(const TomlValue& value) const {
    const std::size_t at = offset_of(value.position);
    const Statement& statement = statement_at(at);
    return statement.is_header && statement.itself.begin == at;
}

/// Where a header is that of a table, those around it, which have no other, have its place too: the
/// innermost counts, which comes last.
void Outline::add_headers(const TomlTable& table, const Path& path) {
    const auto add = [this](const TomlValue& value, const Path& at) {
        if (is_header(value)) {
            const std::size_t offset = offset_of(value.position);
            const auto section =
                std::ranges::lower_bound(sections_, offset, {}, [this](const HeaderSection& each) {
                    return statements_[each.header].itself.begin;
                });
            section->table = at;
        }
        add_headers(std::get<TomlTable>(value.content), at);
    };
    for (const TomlEntry& entry : table.entries) {
        const Path at = path / entry.key;
        if (std::holds_alternative<TomlTable>(entry.value.content)) add(entry.value, at);
        const auto* array = std::get_if<TomlArray>(&entry.value.content);
        for (std::size_t n = 0; array && n < array->size(); ++n) {
            if (std::holds_alternative<TomlTable>((*array)[n].content)) add((*array)[n], at / n);
        }
    }
}

const TomlValue* Outline::value(const FoundTable& in, std::string_view key) const {
    const auto entry = std::ranges::find(in.table->entries, key, &TomlEntry::key);
    return entry == in.table->entries.end() ? nullptr : &entry->value;
}

Outline::Reached Outline::reach(const Path& path) const {
    Reached reached{{&tree_, Form::Root, 0}, 0};
    Path at;
    for (std::size_t n = 0; n < path.steps().size(); ++n) {
        const auto* key = std::get_if<std::string>(&path.steps()[n]);
        const TomlValue* value = key ? this->value(reached.found, *key) : nullptr;
        if (!value) break;
        at = at / *key;
        if (const auto* array = std::get_if<TomlArray>(&value->content)) {
            const auto* index = n + 1 < path.steps().size()
                                    ? std::get_if<std::size_t>(&path.steps()[n + 1])
                                    : nullptr;
            if (!index || *index >= array->size()) break;
            value = &(*array)[*index];
            at = at / *index;
            ++n;
        }
        const auto* table = std::get_if<TomlTable>(&value->content);
        if (!table) break;
        const std::size_t offset = offset_of(value->position);
        const Form form = section_of(at)         ? Form::Header
                          : text_[offset] == '{' ? Form::Inline
                          : is_header(*value)    ? Form::Implied
                                                 : Form::Dotted;
        reached = {{table, form, offset}, n + 1};
    }
    return reached;
}

FoundTable Outline::find(const Path& path) const {
    const Reached reached = reach(path);
    if (reached.steps == path.steps().size()) return reached.found;
    refuse(reached.found.at, fmt::format("there is no table \"{}\" here; accepted: one that the "
                                         "file has",
                                         written_name(path)));
}

std::size_t Outline::entries(const Path& array) const {
    const auto& steps = array.steps();
    Path around;
    for (std::size_t n = 0; n + 1 < steps.size(); ++n)
        around = around / steps[n];
    const FoundTable in = find(around);
    const TomlValue* found = value(in, std::get<std::string>(steps.back()));
    if (!found) return 0;
    const auto* all = std::get_if<TomlArray>(&found->content);
    if (!all || !is_header(*found)) {
        refuse(offset_of(found->position),
               fmt::format("\"{}\" is not written as tables with headers of their own; accepted: "
                           "[[{}]] before each, or a change by hand",
                           written_name(array), written_name(array)));
    }
    return all->size();
}

const HeaderSection* Outline::section_of(const Path& table) const {
    const auto section = std::ranges::find(sections_, table, &HeaderSection::table);
    return section == sections_.end() ? nullptr : &*section;
}

std::vector<Span> Outline::parts_of(const Path& table) const {
    std::vector<Span> parts;
    std::size_t next = statements_.size();
    for (const HeaderSection& section : sections_) {
        if (!begins(table, section.table)) continue;
        const std::size_t end = statements_[section.end - 1].lines.end;
        if (section.header == next)
            parts.back().end = end;
        else
            parts.push_back({statements_[section.header].comments_from, end});
        next = section.end;
    }
    return parts;
}

Span Outline::part_of(const Path& table) const {
    const std::vector<Span> parts = parts_of(table);
    if (parts.empty()) throw std::logic_error("a table without a header has no part");
    if (parts.size() == 1) return parts.front();
    refuse(parts[1].begin, fmt::format("other tables stand between the parts of \"{}\"; accepted: "
                                       "all of it together, or a change by hand",
                                       written_name(table)));
}

std::pair<Path, std::string> Outline::place_of(const SourcePosition& position) const {
    if (statements_.empty() || position.line > lines_.size()) return {};
    const std::size_t at = offset_of(position);
    if (at < statements_.front().itself.begin) return {};
    const Statement& statement = statement_at(at);
    const auto n = static_cast<std::size_t>(&statement - statements_.data());
    Path table;
    for (const HeaderSection& section : sections_)
        if (section.header <= n) table = section.table;
    if (statement.is_header) return {table, ""};
    const std::string_view name = Span{statement.itself.begin, statement.value.begin}.of(text_);
    return {table, std::string(name.substr(0, name.find_first_of(" \t=")))};
}

void Outline::refuse(std::size_t at, const std::string& why) const {
    const auto after = std::ranges::upper_bound(lines_, at);
    const auto line = std::max<std::ptrdiff_t>(1, after - lines_.begin());
    const std::size_t begin = lines_[static_cast<std::size_t>(line - 1)];
    unsigned column = 1;
    for (std::size_t n = begin; n < at; ++n)
        column += (static_cast<unsigned char>(text_[n]) & 0xC0U) == 0x80U ? 0 : 1;
    throw InputError({file_, static_cast<unsigned>(line), column}, why);
}

}  // namespace earbudget::editing
