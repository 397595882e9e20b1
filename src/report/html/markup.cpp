#include "report/html/markup.hpp"

#include <fmt/format.h>

#include "report/html/style.hpp"

namespace earbudget::report::html {

std::string escaped(std::string_view text) {
    std::string result;
    result.reserve(text.size());
    for (const char letter : text) {
        switch (letter) {
            case '&':
                result += "&amp;";
                break;
            case '<':
                result += "&lt;";
                break;
            case '>':
                result += "&gt;";
                break;
            case '"':
                result += "&quot;";
                break;
            case '\'':
                result += "&#39;";
                break;
            default:
                // Control characters are not allowed in HTML; a space keeps words apart.
                result += static_cast<unsigned char>(letter) < 0x20 ? ' ' : letter;
        }
    }
    return result;
}

std::string text(std::string_view text) { return "<bdi>" + escaped(text) + "</bdi>"; }

std::string element(std::string_view name, std::string_view content) {
    return fmt::format("<{0}>{1}</{0}>\n", name, content);
}

std::string element(std::string_view name, std::string_view css_class, std::string_view content) {
    return fmt::format("<{0} class=\"{1}\">{2}</{0}>\n", name, css_class, content);
}

std::string page(std::string_view title, std::string_view main_content, std::string_view footer) {
    return fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<title>{}</title>\n<style>\n{}</style>\n</head>\n<body>\n<main>\n{}</main>\n"
        "<footer>\n{}</footer>\n</body>\n</html>\n",
        escaped(title), style_sheet, main_content, footer);
}

}  // namespace earbudget::report::html
