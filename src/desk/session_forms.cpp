#include "desk/session_forms.hpp"

#include <fmt/format.h>

#include "desk/frame.hpp"

namespace earbudget::desk::at_session {

using report::html::element;
using report::html::escaped;
using report::html::text;

std::string tap(const Look& look, const Tap& tap) {
    std::string fields = hidden("seen", std::to_string(look.newest)) + hidden("act", tap.act);
    for (const auto& [name, value] : tap.fields)
        fields += hidden(name, value);
    const std::string key =
        tap.key.empty() ? "" : fmt::format(" data-key=\"{0}\" aria-keyshortcuts=\"{0}\"", tap.key);
    const std::string shown =
        tap.key.empty() ? "" : fmt::format(" <kbd aria-hidden=\"true\">{}</kbd>", tap.key);
    fields += tap.inside;
    fields += fmt::format("<button id=\"{}\"{}{}>{}{}</button>\n", escaped(tap.id),
                          tap.look.empty() ? "" : fmt::format(" class=\"{}\"", tap.look), key,
                          text(tap.label), shown);
    return post_form(look.asked, fmt::format("/session/{}", look.number()), fields,
                     "class=\"tap\"");
}

std::string small_field(std::string_view id, std::string_view name, std::string_view label,
                        std::string_view value, std::string_view attributes) {
    return fmt::format(
        "<label for=\"{0}\">{1}</label> <input id=\"{0}\" name=\"{2}\" value=\"{3}\""
        "{4}{5}>\n",
        escaped(id), text(label), escaped(name), escaped(value), attributes.empty() ? "" : " ",
        attributes);
}

std::string taps(const std::vector<std::string>& each, std::string_view css_class) {
    std::string all;
    for (const std::string& one : each)
        all += one;
    return all.empty() ? "" : element("div", css_class, "\n" + all);
}

}  // namespace earbudget::desk::at_session
