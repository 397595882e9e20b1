#include "report/short_answer.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "report/assess_words.hpp"
#include "report/html/markup.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

/// Behind what is left out.
std::string rest_in_detail() { return " (more: " + where_the_rest_is() + ")"; }

/// Says where the rest is, before this is cut again; a page says it by the same mark.
std::string marked_again(std::string text) {
    const std::string mark = where_the_rest_is(), words = without_marks(mark);
    for (std::size_t at = text.find(words); at != text.npos; at = text.find(words, at)) {
        text.replace(at, words.size(), mark);
        at += mark.size();
    }
    return text;
}

/// The lines that a sentence takes, and whether a word makes one longer than it may be.
struct Taken {
    std::size_t lines = 0;
    bool too_wide = false;
};

Taken taken_by(const std::string& sentence, std::size_t indent) {
    const std::string text = wrapped(without_marks(sentence), indent, indent + 2, short_columns);
    Taken taken;
    for (std::string_view rest = text; !rest.empty(); rest.remove_prefix(rest.find('\n') + 1)) {
        ++taken.lines;
        taken.too_wide =
            taken.too_wide || width_of(rest.substr(0, rest.find('\n'))) > short_columns;
    }
    return taken;
}

/// Where the last whole clause of a shortened sentence ends, else its last whole word; npos where
/// little would be left.
std::size_t end_of_clause(std::string_view part) {
    std::size_t end = 0;
    for (const std::string_view mark : {", ", "; ", ". ", " ("}) {
        const std::size_t at = part.rfind(mark);
        if (at != part.npos) end = std::max(end, at);
    }
    if (end < part.size() / 2) end = part.rfind(' ');
    return end != part.npos && end >= part.size() / 3 ? end : part.npos;
}

/// As much of a sentence as has room in so many lines, whole clauses where that can be, with what
/// shows the rest behind it.
std::string cut_to(const std::string& sentence, std::size_t lines, std::size_t indent) {
    const auto has_room = [&](const std::string& text) {
        const Taken taken = taken_by(text, indent);
        return taken.lines <= lines && !taken.too_wide;
    };
    if (has_room(sentence)) return sentence;
    const std::string words = without_marks(sentence);
    for (std::size_t columns = lines * (short_columns - indent); columns > 0; --columns) {
        std::string part = fitted(words, columns);
        if (words.size() < sentence.size()) part = marked_again(std::move(part));
        const std::size_t end = end_of_clause(part);
        if (end != part.npos) part = part.substr(0, end) + rest_in_detail();
        if (has_room(part)) return part;
    }
    return "";
}

}  // namespace

std::string fitted(std::string_view text, std::size_t columns) {
    std::string part(text);
    for (std::size_t most = columns; width_of(part) > columns && most > 0; --most)
        part = html::shortened(text, most);
    return part;
}

std::vector<std::string> fitted_lines(std::vector<std::string> all, std::size_t lines,
                                      const std::vector<std::size_t>& first, std::size_t indent) {
    std::size_t free = lines - std::min(lines, all.size());
    std::vector<std::size_t> may_take(all.size(), 1);
    for (const std::size_t n : first) {
        const std::size_t more = std::min(free, taken_by(all[n], indent).lines - 1);
        may_take[n] += more;
        free -= more;
    }
    for (std::size_t n = 0; n < all.size(); ++n)
        all[n] = cut_to(all[n], may_take[n], indent);
    return all;
}

std::size_t lines_taken(const std::string& sentence, std::size_t indent) {
    return taken_by(sentence, indent).lines;
}

std::string some_of(std::span<const std::string> names, std::size_t most, std::string_view between,
                    std::string_view before_last) {
    const std::size_t named = names.size() > most + 1 ? most : names.size();
    std::string words;
    for (std::size_t n = 0; n < named; ++n) {
        const bool last = n > 0 && n + 1 == names.size();
        words += std::string(n == 0 ? "" : last ? before_last : between) + names[n];
    }
    if (named < names.size())
        words += fmt::format(" and {} more: {}", names.size() - named, where_the_rest_is());
    return words;
}

std::string short_people(const std::vector<std::string>& ids, std::size_t columns) {
    constexpr std::size_t most_named = 3;
    const std::string all = ids.size() <= most_named ? names_of_people(ids) : "";
    if (!all.empty() && width_of(all) <= columns) return all;
    if (ids.size() == 1) return fitted(ids.front(), columns);
    const std::string others = fmt::format(" and {} alike", ids.size() - 1);
    const std::size_t room = columns - std::min(columns - 1, width_of(others));
    return fitted(ids.front(), room) + others;
}

void end_in_short(const Record& record, const std::vector<std::string>& more, Document& document,
                  bool has_working) {
    const Head& head = document.head;
    constexpr std::size_t most_of_title = 60;
    std::vector<Block> blocks;
    const std::string title = fitted(head.title, most_of_title);
    blocks.push_back({Paragraph{
        head.title == head.file ? head.file : fmt::format("{} ({})", title, head.file)}});
    for (const std::string& one : more)
        if (!one.empty()) blocks.push_back({Paragraph{one}});
    blocks.push_back({Paragraph{std::string("--detail shows every figure, reason and source") +
                                (has_working ? ", --working how each came about." : ".")}});
    blocks.push_back({Paragraph{"Read with care. " + fmt::format("{}", fmt::join(cautions, " "))}});
    document.sections.push_back({"more", "", std::move(blocks)});
    document.first_line = words_on_examples(record);
    document.columns = short_columns;
    document.head.file_sha256.clear();  // of a single file; the whole record is in the detail
}

void fold(const Telling& telling, Document& document) {
    for (std::size_t n = 1; n < document.sections.size(); ++n) {
        Section& section = document.sections[n];
        if (section.id == "cautions" || section.heading.empty()) continue;
        const std::string& of = section.in_contents.empty() ? section.heading : section.in_contents;
        std::vector<Block> blocks;
        blocks.push_back({Folded{.summary = "In detail: " + of,
                                 .blocks = std::move(section.blocks),
                                 .printed = true,
                                 .open = telling.unfolded}});
        section.blocks = std::move(blocks);
    }
}

}  // namespace earbudget::report
