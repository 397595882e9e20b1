#include "desk/try_cells.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "desk/frame.hpp"

namespace earbudget::desk::trying {

using report::html::element;
using report::html::escaped;
using report::html::text;

namespace {

std::string option(std::string_view id, std::string_view words, bool selected) {
    return fmt::format("<option value=\"{}\"{}>{}</option>\n", escaped(id),
                       selected ? " selected" : "", escaped(words));
}

}  // namespace

std::string wrong_in(const Wrong& wrong, const std::string& name) {
    std::string words;
    for (const auto& [field, why] : wrong)
        if (field == name) words += (words.empty() ? "" : " ") + text(why);
    // Empty where nothing is wrong, by which its look goes.
    return fmt::format(
        "<span data-part=\"wrong {0}\" class=\"wrong\" id=\"{0}-wrong\">{1}</span>\n",
        escaped(name), words);
}

std::string Cells::typed(const std::string& name, std::string_view label, const std::string& value,
                         std::string_view look, std::string_view attributes) const {
    return cell(name, label, look,
                fmt::format("<input id=\"{0}\" name=\"{0}\" type=\"text\" value=\"{1}\" {2}"
                            "aria-describedby=\"{0}-wrong\"{3} autocomplete=\"off\">\n",
                            escaped(name), escaped(value),
                            attributes.empty() ? "" : fmt::format("{} ", attributes),
                            is_wrong(name) ? " aria-invalid=\"true\"" : ""));
}

std::string Cells::chosen(const std::string& name, std::string_view label, const std::string& value,
                          const Named& options, std::string_view list) const {
    if (options.empty()) {
        return typed(name, label, value, "wider",
                     list.empty() ? "" : fmt::format("list=\"{}\"", list));
    }
    std::string markup;
    bool found = false;
    for (const auto& [id, words] : options) {
        found = found || id == value;
        markup += option(id, words, id == value);
    }
    if (!found) markup += option(value, value, true);
    return cell(name, label, "wider",
                fmt::format("<select id=\"{0}\" name=\"{0}\" aria-describedby=\"{0}-wrong\"{1}"
                            ">\n{2}</select>\n",
                            escaped(name), is_wrong(name) ? " aria-invalid=\"true\"" : "", markup));
}

bool Cells::is_wrong(const std::string& name) const {
    return std::ranges::any_of(wrong_, [&](const auto& one) { return one.first == name; });
}

std::string Cells::cell(const std::string& name, std::string_view label, std::string_view look,
                        const std::string& markup) const {
    return fmt::format("<div class=\"cell{}{}\">\n<label for=\"{}\">{}</label>\n{}{}</div>\n",
                       look.empty() ? "" : " ", look, escaped(name), text(label), markup,
                       wrong(name));
}

std::string redrawing(std::string_view label, std::string_view name, std::string_view value,
                      std::string_view spoken, std::string_view look) {
    return fmt::format(
        "<button form=\"try\" id=\"{0}-{1}\" name=\"{0}\" value=\"{1}\" data-redraw{2}{3}>{4}"
        "</button>\n",
        escaped(name), escaped(value),
        spoken.empty() ? "" : fmt::format(" aria-label=\"{}\"", escaped(spoken)),
        look.empty() ? "" : fmt::format(" class=\"{}\"", look), text(label));
}

std::string index_field(const std::string& name, const std::optional<std::size_t>& index) {
    return index ? hidden(name, fmt::format("{}", *index)) : "";
}

std::string fieldset(std::string_view legend, std::string_view look, const std::string& markup) {
    return fmt::format("<fieldset class=\"{}\">\n<legend>{}</legend>\n{}</fieldset>\n", look,
                       text(legend), markup);
}

std::string window_markup(std::string_view what, std::string_view field, const Shown& shown,
                          std::size_t all, std::size_t step, const std::string& name) {
    if (shown.first == 0 && shown.count == all) return "";
    const auto to = [&](std::size_t first, std::string_view words) {
        return link(fmt::format("/try?plan={}&{}={}", serving::in_address(name), field, first),
                    words) +
               " ";
    };
    std::string markup = text(fmt::format("{} {} to {} of {}; save before you go to others: ", what,
                                          shown.first + 1, shown.end(), all));
    if (shown.first > 0) markup += to(shown.first - std::min(step, shown.first), "earlier ones");
    if (shown.end() < all) markup += to(shown.end(), "later ones");
    return element("p", markup);
}

std::string save_markup(const std::string& name) {
    std::string markup = fmt::format(
        "<div class=\"cell wider\">\n<label for=\"new-name\">New file, beside {}</label>\n"
        "<input id=\"new-name\" name=\"new-name\" type=\"text\" value=\"\" "
        "placeholder=\"plan-2.toml\" autocomplete=\"off\">\n</div>\n",
        text(name));
    markup += button("Save as a new file", "do", "save-new") +
              button(fmt::format("Save the changed values into {}", name), "do", "save");
    markup += element("p", "hint",
                      "Either way comments, order and all that was not changed stay as they are.");
    return report::html::section("try-save", 2, "Save",
                                 fieldset("As a new file, or into this one", "line", markup));
}

}  // namespace earbudget::desk::trying
