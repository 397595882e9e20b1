#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "earbudget/computing/for_each_at_once.hpp"
#include "earbudget/study/visible_text.hpp"
#include "report/document.hpp"
#include "report/working.hpp"

namespace earbudget::report {

namespace {

std::string text_of_blocks(const std::vector<Block>& blocks, std::size_t indent,
                           std::size_t columns);

std::string in_capitals(std::string words) {
    std::ranges::transform(words, words.begin(), [](unsigned char letter) {
        return static_cast<char>(std::toupper(letter));
    });
    return words;
}

std::string lines_of(const std::vector<Item>& items, bool bullets, std::size_t indent,
                     std::size_t columns) {
    std::string text;
    for (const Item& item : items) {
        text += wrapped((bullets ? "- " : "") + item.words, indent, indent + 2, columns) +
                lines_of(item.under, bullets, indent + 2, columns);
    }
    return text;
}

/// What each kind of block is in text, so far from the edge, in lines so long.
struct InText {
    std::size_t indent;
    std::size_t columns;

    [[nodiscard]] std::string line(const std::string& words, std::size_t from) const {
        return wrapped(words, from, from + 2, columns);
    }

    std::string operator()(const Paragraph& paragraph) const {
        return line(paragraph.words, indent);
    }
    std::string operator()(const Heading& heading) const { return line(heading.words, indent); }
    std::string operator()(const List& list) const {
        return lines_of(list.items, list.bullets, indent, columns);
    }
    std::string operator()(const Answers& answers) const {
        std::string text;
        for (const Answer& answer : answers.all) {
            const bool loud = (answers.loud && answer.verdict == Verdict::Over) ||
                              (answers.loud_unknown && answer.verdict == Verdict::Unknown);
            text += line(coloured(answer.verdict, loud ? in_capitals(answer.words) : answer.words) +
                             (answer.rest.empty() ? "" : ": " + answer.rest),
                         indent);
            for (const std::string& one : answer.under)
                text += line(one, indent + 2);
        }
        return text;
    }
    std::string operator()(const Table& table) const { return text_table(table, indent); }
    std::string operator()(const Definitions& definitions) const {
        std::string text;
        for (const auto& [name, value] : definitions.entries)
            text += line(name + ": " + value, indent);
        return text;
    }
    std::string operator()(const Steps& steps) const {
        return working_text(steps.of, steps.working());
    }
    std::string operator()(const Beside& beside) const {
        std::string text;
        for (const auto& part : beside.parts)
            text += text_of_blocks(part, indent, columns);
        return text;
    }
    std::string operator()(const Folded& folded) const {
        return text_of_blocks(folded.blocks, indent, columns);
    }
    std::string operator()(const Figure&) const { return ""; }
    std::string operator()(const ShortCautions&) const { return ""; }
};

/// What follows a heading stands under it.
std::string text_of_blocks(const std::vector<Block>& blocks, std::size_t indent,
                           std::size_t columns) {
    std::string text;
    std::size_t under = indent;
    for (const Block& block : blocks) {
        if (block.medium == Medium::Page) continue;
        const bool heads = std::holds_alternative<Heading>(block.is);
        text += std::visit(InText{heads ? indent : under, columns}, block.is);
        if (heads) under = indent + 2;
    }
    return text;
}

/// One without a heading stands at the edge.
std::string text_of_section(const Section& section, std::size_t columns) {
    if (section.heading.empty()) return '\n' + text_of_blocks(section.blocks, 0, columns);
    std::string head = strong(section.heading);
    if (section.answer) {
        const Answer& answer = *section.answer;
        if (!answer.words.empty()) head += ": " + coloured(answer.verdict, answer.words);
        if (!answer.rest.empty()) head += (answer.words.empty() ? ": " : "; ") + answer.rest;
    }
    return '\n' + wrapped(head, 0, 2, columns) + text_of_blocks(section.blocks, 2, columns) +
           text_of_blocks(section.after, 2, columns);
}

std::string text_of_head(const Head& head) {
    if (head.file_sha256.empty()) return "";
    const std::string file =
        fmt::format("{}, SHA-256 {}…\n", visible_text(head.file), head.file_sha256.substr(0, 16));
    return '\n' + (head.title == head.file ? file : strong(head.title) + '\n' + file);
}

}  // namespace

std::string as_text(const Document& document, const TextStyle& style) {
    const auto& sections = document.sections;
    const std::size_t columns = document.columns;
    std::string text =
        document.first_line.empty() ? "" : wrapped(document.first_line, 0, 2, columns);
    text += text_of_blocks(sections.front().blocks, 0, columns) + text_of_head(document.head);
    std::vector<const Section*> rest;
    for (std::size_t n = 1; n < sections.size(); ++n)
        if (sections[n].medium != Medium::Page) rest.push_back(&sections[n]);
    for (const std::string& one : for_each_at_once(rest, [columns](const Section* section) {
             return text_of_section(*section, columns);
         }))
        text += one;
    return style.colour ? text : without_marks(text);
}

}  // namespace earbudget::report
