#include "report/html/markup.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <fmt/format.h>

#include "earbudget/study/visible_text.hpp"
#include "report/html/style.hpp"
#include "report/text_style.hpp"

namespace earbudget::report::html {

namespace {

/// The first character of what visible_text gave.
std::string_view take_character(std::string_view& text) {
    const auto character = first_character(text);
    const std::string_view bytes = text.substr(0, character ? character->bytes : 1);
    text.remove_prefix(bytes.size());
    return bytes;
}

constexpr std::size_t most_in_running_head = 70;

/// Margin boxes of CSS Paged Media: browsers that have none leave them out.
std::string paper_head(const PageHead& head) {
    return fmt::format(
        "@page {{ margin: 15mm 12mm 11mm;\n"
        "  @top-left {{ content: \"{}\"; font: 8pt sans-serif; overflow-wrap: anywhere; }}\n"
        "  @top-right {{ content: \"{}\"; font: 8pt sans-serif; white-space: nowrap; width: 22mm; "
        "}}\n"
        "  @bottom-left {{ content: \"earbudget {}\"; font: 8pt sans-serif; }}\n"
        "  @bottom-right {{ content: \"page \" counter(page) \" of \" counter(pages); "
        "font: 8pt sans-serif; }} }}\n",
        css_text(shortened(head.title, most_in_running_head)), css_text(head.date),
        css_text(head.command));
}

std::string navigation(const Contents& contents) {
    if (contents.empty()) return "";
    std::string items;
    for (const auto& [id, words] : contents)
        items += fmt::format("<li><a href=\"#{}\">{}</a></li>\n", id, text(words));
    return "<nav aria-label=\"On this page\">\n<ul>\n" + items + "</ul>\n</nav>\n";
}

std::string header(const PageHead& head) {
    const bool is_long = head.title.size() > 120;
    return fmt::format(
        "<header>\n<p class=\"kind\">{}</p>\n<h1{}>{}</h1>\n<p class=\"soft\">{} · {}</p>\n"
        "</header>\n",
        escaped(head.kind), is_long ? " class=\"long\"" : "", text(head.title), text(head.file),
        escaped(head.date));
}

}  // namespace

std::string escaped(std::string_view text) {
    constexpr std::array<std::pair<char, std::string_view>, 5> entities = {
        {{'&', "&amp;"}, {'<', "&lt;"}, {'>', "&gt;"}, {'"', "&quot;"}, {'\'', "&#39;"}}};
    std::string result;
    for (const char byte : visible_text(text)) {
        const auto entity =
            std::ranges::find(entities, byte, &std::pair<char, std::string_view>::first);
        if (entity != entities.end()) {
            result += entity->second;
        } else {
            result += byte;
        }
    }
    return result;
}

std::string text(std::string_view text) {
    std::string markup;
    for (const auto& [look, words] : stretches_of(text)) {
        const std::string inner = "<bdi>" + escaped(words) + "</bdi>";
        if (look == Look::Strong) {
            markup += "<strong>" + inner + "</strong>";
        } else if (look == Look::Hash) {
            markup += "<span class=\"hash\">" + escaped(words) + "</span>";
        } else if (look == Look::Rest) {
            markup += "below";
        } else if (!words.empty() || text.empty()) {
            markup += inner;
        }
    }
    return markup;
}

std::string css_text(std::string_view text) {
    std::string result;
    for (const char byte : visible_text(text)) {
        const auto code = static_cast<unsigned char>(byte);
        const bool plain = code >= 0x80U || (code >= '0' && code <= '9') ||
                           (code >= 'A' && code <= 'Z') || (code >= 'a' && code <= 'z');
        if (plain) {
            result += byte;
        } else {
            result += fmt::format("\\{:06x}", code);
        }
    }
    return result;
}

std::string shortened(std::string_view text, std::size_t most) {
    const std::string seen = visible_text(text);
    std::string_view rest = seen;
    std::string result;
    std::size_t last = 0;
    std::size_t count = 0;
    while (!rest.empty()) {
        if (++count > most) return result.substr(0, last) + "…";
        last = result.size();
        result += take_character(rest);
    }
    return result;
}

std::string element(std::string_view name, std::string_view content) {
    return fmt::format("<{0}>{1}</{0}>\n", name, content);
}

std::string element(std::string_view name, std::string_view css_class, std::string_view content) {
    return fmt::format("<{0} class=\"{1}\">{2}</{0}>\n", name, css_class, content);
}

std::string list_of(const std::vector<std::string>& sentences, std::string_view css_class) {
    if (sentences.empty()) return "";
    std::string items;
    for (const std::string& sentence : sentences)
        items += element("li", text(sentence));
    return element("ul", css_class, "\n" + items);
}

std::string section(std::string_view id, unsigned level, std::string_view heading,
                    std::string_view content, std::string_view css_class) {
    return fmt::format(
        "<section class=\"{0}\" id=\"{1}\" aria-labelledby=\"{1}-heading\">\n"
        "<h{2} id=\"{1}-heading\">{3}</h{2}>\n{4}</section>\n",
        css_class, id, level, heading, content);
}

std::string running_line(const PageHead& head) {
    return fmt::format("<p class=\"running\" aria-hidden=\"true\">{} · {}</p>\n",
                       text(shortened(head.title, most_in_running_head)), escaped(head.date));
}

std::string page(const PageHead& head, const Contents& contents, std::string_view main,
                 std::string_view footer, std::string_view css_class) {
    return fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<title>{} – {}</title>\n<style>\n{}{}</style>\n</head>\n<body class=\"{}\">\n{}{}{}"
        "<main id=\"main\">\n{}</main>\n<footer>\n{}</footer>\n</body>\n</html>\n",
        escaped(shortened(head.title, 200)), escaped(head.kind), style_sheet, paper_head(head),
        css_class, contents.empty() ? "" : "<a class=\"skip\" href=\"#main\">Skip contents</a>\n",
        header(head), navigation(contents), main, footer);
}

}  // namespace earbudget::report::html
