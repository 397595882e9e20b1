#include "report/html/page.hpp"

#include <fmt/format.h>

#include "report/html/markup.hpp"
#include "report/html/style.hpp"

namespace earbudget::report::html {

namespace {

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
