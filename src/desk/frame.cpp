#include "desk/frame.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "report/cautions.hpp"
#include "report/record.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::escaped;
using report::html::text;

struct Tab {
    std::string_view to, words;
};
constexpr std::array<Tab, 6> tabs = {{{"/", "Today"},
                                      {"/session", "Session"},
                                      {"/try", "Try it"},
                                      {"/sounds", "Sequences and protectors"},
                                      {"/measure", "Measure and predict"},
                                      {"/register", "Register"}}};

std::string navigation(std::string_view here) {
    std::string items;
    for (const Tab& tab : tabs)
        items += fmt::format("<li><a href=\"{}\"{}>{}</a></li>\n", tab.to,
                             tab.to == here ? " aria-current=\"page\"" : "", tab.words);
    return "<nav aria-label=\"Pages of the desk\">\n<ul>\n" + items + "</ul>\n</nav>\n";
}

std::string said_block(const std::vector<std::string>& said) {
    std::string items;
    for (const std::string& one : said)
        items += element("p", text(one));
    return items.empty() ? "" : "<div class=\"said\" role=\"status\">\n" + items + "</div>\n";
}

std::string attribute(std::string_view name, std::string_view value) {
    return value.empty() ? "" : fmt::format(" {}=\"{}\"", name, escaped(value));
}

/// What stands below a field and belongs to it.
std::string notes_of(std::string_view name, std::string_view hint, std::string_view wrong) {
    std::string notes;
    if (!hint.empty())
        notes += fmt::format("<span class=\"hint\" id=\"{}-hint\">{}</span>\n", escaped(name),
                             text(hint));
    if (!wrong.empty())
        notes += fmt::format("<span class=\"wrong\" id=\"{}-wrong\">{}</span>\n", escaped(name),
                             text(wrong));
    return notes;
}

std::string described_by(std::string_view name, std::string_view hint, std::string_view wrong) {
    std::string ids;
    if (!hint.empty()) ids += fmt::format("{}-hint", name);
    if (!wrong.empty()) ids += fmt::format("{}{}-wrong", ids.empty() ? "" : " ", name);
    return attribute("aria-describedby", ids) + (wrong.empty() ? "" : " aria-invalid=\"true\"");
}

}  // namespace

Reply framed(const Asked& asked, const Page& page, int status) {
    std::string cautions;
    for (const std::string_view caution : report::cautions)
        cautions += fmt::format("{}{}", cautions.empty() ? "" : " ", caution);
    return Reply::page(
        fmt::format(
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
            "<title>{0} – earbudget</title>\n<link rel=\"stylesheet\" href=\"/desk/desk.css\">\n"
            "<link rel=\"icon\" href=\"/desk/icon.svg\" type=\"image/svg+xml\">\n"
            "<script src=\"/desk/desk.js\" defer></script>\n</head>\n<body class=\"desk {1}\">\n"
            "<a class=\"skip\" href=\"#main\">Skip to the page</a>\n"
            "<header class=\"top\">\n{2}</header>\n"
            "<main id=\"main\" tabindex=\"-1\"{3}>\n<h1>{4}</h1>\n{5}{6}</main>\n"
            "<footer>\n<p class=\"soft\"><strong>Read with care.</strong> {7}</p>\n"
            "<p class=\"soft\">earbudget {8}{9}</p>\n</footer>\n</body>\n</html>\n",
            escaped(page.title), page.look, navigation(page.here),
            page.live_ms > 0 ? fmt::format(" data-live=\"{}\"", page.live_ms) : "",
            text(page.title), said_block(page.said), page.main, text(cautions),
            report::program_version(),
            asked.by.empty() ? "" : fmt::format(" · told by {}", text(asked.by))),
        status);
}

Reply refused(const Asked& asked, int status, const std::string& title,
              const std::vector<std::string>& why) {
    return framed(asked, {.here = "", .title = title, .main = report::html::list_of(why)}, status);
}

std::vector<std::string> words_of(const files::InputErrors& errors) {
    std::vector<std::string> words;
    for (const InputError& error : errors.all())
        words.emplace_back(error.what());
    if (errors.unlisted() > 0) words.push_back(fmt::format("and {} more", errors.unlisted()));
    return words;
}

std::string post_form(const Asked& asked, std::string_view action, std::string_view fields,
                      std::string_view attributes) {
    return fmt::format("<form method=\"post\" action=\"{}\"{}{}>\n{}{}</form>\n", escaped(action),
                       attributes.empty() ? "" : " ", attributes, hidden("token", asked.token),
                       fields);
}

std::string get_form(std::string_view action, std::string_view fields,
                     std::string_view attributes) {
    return fmt::format("<form method=\"get\" action=\"{}\"{}{}>\n{}</form>\n", escaped(action),
                       attributes.empty() ? "" : " ", attributes, fields);
}

std::string hidden(std::string_view name, std::string_view value) {
    return fmt::format("<input type=\"hidden\" name=\"{}\" value=\"{}\">\n", escaped(name),
                       escaped(value));
}

std::string button(std::string_view label, std::string_view name, std::string_view value,
                   std::string_view key, std::string_view look) {
    const std::string shown =
        key.empty() ? "" : fmt::format(" <kbd aria-hidden=\"true\">{}</kbd>", escaped(key));
    return fmt::format("<button{}{}{}{}{}>{}{}</button>\n", attribute("name", name),
                       name.empty() ? "" : fmt::format(" value=\"{}\"", escaped(value)),
                       attribute("data-key", key), attribute("aria-keyshortcuts", key),
                       attribute("class", look), text(label), shown);
}

std::string field(const Field& field) {
    return fmt::format(
        "<p class=\"field\">\n<label for=\"{0}\">{1}</label>\n"
        "<input id=\"{0}\" name=\"{0}\" type=\"{2}\" value=\"{3}\"{4}{5}{6}>\n{7}</p>\n",
        escaped(field.name), text(field.label), field.type, escaped(field.value),
        described_by(field.name, field.hint, field.wrong), field.attributes.empty() ? "" : " ",
        field.attributes, notes_of(field.name, field.hint, field.wrong));
}

std::string choice(const Choice& choice) {
    std::string options;
    for (const auto& [value, words] : choice.options)
        options += fmt::format("<option value=\"{}\"{}>{}</option>\n", escaped(value),
                               value == choice.value ? " selected" : "", escaped(words));
    return fmt::format(
        "<p class=\"field\">\n<label for=\"{0}\">{1}</label>\n"
        "<select id=\"{0}\" name=\"{0}\"{2}{3}{4}>\n{5}</select>\n{6}</p>\n",
        escaped(choice.name), text(choice.label), described_by(choice.name, {}, choice.wrong),
        choice.attributes.empty() ? "" : " ", choice.attributes, options,
        notes_of(choice.name, {}, choice.wrong));
}

std::string link(std::string_view to, std::string_view words, std::string_view look) {
    return fmt::format("<a href=\"{}\"{}>{}</a>", escaped(to), attribute("class", look),
                       text(words));
}

std::string part(std::string_view name, std::string_view markup, std::string_view element,
                 std::string_view attributes) {
    return fmt::format("<{0} data-part=\"{1}\"{2}{3}>\n{4}</{0}>\n", element, escaped(name),
                       attributes.empty() ? "" : " ", attributes, markup);
}

std::string bar(double share, Verdict verdict, std::string_view words) {
    constexpr double width = 300.0;
    const double filled = width * std::clamp(share, 0.0, 1.0);
    return fmt::format(
        "<div class=\"bar {0}\">\n<svg viewBox=\"0 0 300 20\" preserveAspectRatio=\"none\" "
        "aria-hidden=\"true\" data-share=\"{1:.6g}\">\n"
        "<rect class=\"whole\" x=\"0\" y=\"0\" width=\"300\" height=\"20\"/>\n"
        "<rect class=\"used\" x=\"0\" y=\"0\" width=\"{2:.1f}\" height=\"20\"/>\n</svg>\n"
        "<p>{3}</p>\n</div>\n",
        name_of(verdict), share, filled, text(words));
}

}  // namespace earbudget::desk
