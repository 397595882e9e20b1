#include <algorithm>

#include <fmt/format.h>

#include "earbudget/computing/for_each_at_once.hpp"
#include "report/cautions.hpp"
#include "report/document.hpp"
#include "report/html/markup.hpp"

namespace earbudget::report {

namespace {

using namespace html;

std::string markup_of(const std::vector<Block>& blocks);

std::string items_of(const std::vector<Item>& items, std::string_view look = "plain") {
    if (items.empty()) return "";
    std::string markup;
    for (const Item& item : items)
        markup += element("li", text(item.words) + items_of(item.under));
    return element("ul", look, "\n" + markup);
}

std::string drawing_markup(const Drawing& drawing) {
    std::string numbers;
    for (const Table& table : drawing.numbers)
        numbers += table_markup(table);
    if (!drawing.remark.empty()) numbers += element("p", text(drawing.remark));
    if (!numbers.empty())
        numbers =
            "<details>\n<summary>Numbers of this drawing</summary>\n" + numbers + "</details>\n";
    return fmt::format("<figure>\n<figcaption>{}</figcaption>\n{}{}</figure>\n",
                       text(drawing.caption), drawing.svg, numbers);
}

/// What each kind of block is on a page.
struct OnPage {
    std::string operator()(const Paragraph& paragraph) const {
        std::string words = text(paragraph.words);
        if (!paragraph.link.empty())
            words = fmt::format("<a href=\"#{}\">{}</a>", paragraph.link, words);
        return paragraph.look.empty() ? element("p", words) : element("p", paragraph.look, words);
    }
    std::string operator()(const Heading& heading) const {
        return element("h3", text(heading.words));
    }
    std::string operator()(const List& list) const { return items_of(list.items); }
    std::string operator()(const Answers& answers) const {
        std::string items;
        for (const Answer& one : answers.all)
            items += answer(one.verdict, one.words, one.rest, one.under);
        return element("ul", "answers", "\n" + items) + marks_key(answers.marks);
    }
    std::string operator()(const Table& table) const {
        return table.rows.empty() ? std::string() : table_markup(table);
    }
    std::string operator()(const Definitions& definitions) const {
        std::string terms;
        for (const auto& [name, value] : definitions.entries)
            terms += fmt::format("<dt>{}</dt><dd>{}</dd>\n", text(name), text(value));
        return fmt::format("<dl class=\"{}\">\n{}</dl>\n", definitions.look, terms);
    }
    std::string operator()(const Steps& steps) const {
        return working_block(steps.of, steps.working());
    }
    std::string operator()(const Figure& figure) const {
        std::string markup;
        for (const Drawing& drawing : figure.draw())
            markup += drawing_markup(drawing);
        return markup;
    }
    std::string operator()(const ShortCautions&) const {
        std::string lines;
        for (const std::string_view caution : cautions)
            lines += fmt::format("{}{}", lines.empty() ? "" : " ", caution);
        return element("div", "care",
                       element("p", "<strong>Read with care.</strong> " + text(lines)));
    }
    /// Several parts are elements of their own; a single one holds its blocks itself.
    std::string operator()(const Beside& beside) const {
        std::string markup;
        for (const auto& part : beside.parts) {
            const std::string one = markup_of(part);
            markup += beside.parts.size() == 1 ? one : element("div", "\n" + one);
        }
        return markup.empty() ? "" : element("div", beside.look, "\n" + markup);
    }
    std::string operator()(const Folded& folded) const {
        return fmt::format("<details{}{}>\n<summary>{}</summary>\n{}</details>\n",
                           folded.printed ? " class=\"more\"" : "", folded.open ? " open" : "",
                           text(folded.summary), markup_of(folded.blocks));
    }
};

std::string markup_of(const std::vector<Block>& blocks) {
    std::string markup;
    for (const Block& block : blocks)
        if (block.medium != Medium::Text) markup += std::visit(OnPage(), block.is);
    return markup;
}

std::string section_markup(const Head& head, const Section& section) {
    if (section.heading.empty()) return markup_of(section.blocks);
    std::string content = section.of_one ? running_line(head) : "";
    if (section.answer) {
        const Answer& answer = *section.answer;
        std::string words = answer.words.empty()
                                ? text(answer.rest)
                                : "<span class=\"word\">" + text(answer.words) + "</span>";
        if (!answer.words.empty() && !answer.rest.empty()) words += " – " + text(answer.rest);
        content += answer_line(answer.verdict, words);
    }
    return html::section(section.id, 2, text(section.heading), content + markup_of(section.blocks),
                         section.look) +
           markup_of(section.after);
}

Contents contents_of(const Document& document) {
    Contents contents;
    for (const Section& section : document.sections) {
        if (section.medium == Medium::Text) continue;
        contents.emplace_back(section.id,
                              section.in_contents.empty() ? section.heading : section.in_contents);
    }
    return contents;
}

}  // namespace

std::string as_markup(const std::vector<Block>& blocks) { return markup_of(blocks); }

std::string as_fragment(const Document& document) {
    std::vector<const Section*> sections;
    for (const Section& section : document.sections)
        if (section.medium != Medium::Text) sections.push_back(&section);
    std::string main;
    if (!document.first_line.empty())
        main += element("div", "care", element("p", text(strong(document.first_line))));
    for (const std::string& one : for_each_at_once(sections, [&](const Section* section) {
             return section_markup(document.head, *section);
         }))
        main += one;
    return main;
}

std::string as_page(const Document& document) {
    const std::string main = as_fragment(document);
    const bool sheet = document.form != Document::Form::Report;
    return page(document.head, sheet ? Contents() : contents_of(document), main,
                element("p", "soft", text(document.foot)),
                document.form == Document::Form::Report  ? "report"
                : document.form == Document::Form::Sheet ? "sheet"
                                                         : "sheet small");
}

}  // namespace earbudget::report
