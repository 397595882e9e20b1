#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/desk.hpp"
#include "files/error_list.hpp"
#include "report/html/markup.hpp"

namespace earbudget::desk {

// What all pages of the desk are made of. Texts of users go through report::html::text or escaped;
// what is named `markup` is markup already.
//
// Pages work as plain forms. The script (assets/desk.js) makes them live, by attributes alone:
// - `<main data-live="2000">`: the page is asked for again after so many milliseconds, and each
//   element with `data-part="NAME"` takes what the answer has in the element of that name. Forms
//   and buttons stand outside of parts or are made anew with them; whoever types keeps what is
//   typed.
// - `<form data-answers>`: sent as one types; the parts of the answer go into the page.
// - `<button data-key="s">`: pressed by that key, unless somebody types into a field.
// - `<time data-since="MS">`: counts up from that moment (milliseconds since 1970, of this
//   machine's clock); `data-until` counts down.

/// One page. `main` is markup.
struct Page {
    std::string_view here;  ///< the path of the link at the top that is this page's
    std::string title;      ///< a text
    std::string main;
    int live_ms = 0;                     ///< asked for again after so long; 0: not
    std::string_view look = {};          ///< a class of the style sheet, of the body
    std::vector<std::string> said = {};  ///< what was just done, or could not be: texts
};

[[nodiscard]] Reply framed(const Asked& asked, const Page& page, int status = 200);

/// A page that says why there is nothing else; texts.
[[nodiscard]] Reply refused(const Asked& asked, int status, const std::string& title,
                            const std::vector<std::string>& why);

/// What is wrong, a sentence each, as the command line says it.
[[nodiscard]] std::vector<std::string> words_of(const files::InputErrors& errors);

/// A form that changes something, with its token. `fields` is markup; `attributes` stands in the
/// tag.
[[nodiscard]] std::string post_form(const Asked& asked, std::string_view action,
                                    std::string_view fields, std::string_view attributes = {});
/// One that asks.
[[nodiscard]] std::string get_form(std::string_view action, std::string_view fields,
                                   std::string_view attributes = {});

[[nodiscard]] std::string hidden(std::string_view name, std::string_view value);
/// A button; `key` is pressed for it, empty for none. `label` is a text.
[[nodiscard]] std::string button(std::string_view label, std::string_view name = {},
                                 std::string_view value = {}, std::string_view key = {},
                                 std::string_view look = {});

/// A field with its label above it. `hint` says what is accepted; `wrong`, where it is not empty,
/// what is wrong with what stands in it. All are texts.
struct Field {
    std::string_view name, label;
    std::string value = {};
    std::string hint = {}, wrong = {};
    std::string_view type = "text";
    std::string attributes = {};  ///< markup, as `required maxlength="40"`
};
[[nodiscard]] std::string field(const Field& field);

/// One of several. The first of each pair is sent, the second a text to be read.
struct Choice {
    std::string_view name, label;
    std::vector<std::pair<std::string, std::string>> options;
    std::string value = {};
    std::string wrong = {};
    std::string attributes = {};
};
[[nodiscard]] std::string choice(const Choice& choice);

/// A link; `words` is a text, `to` an address of this desk.
[[nodiscard]] std::string link(std::string_view to, std::string_view words,
                               std::string_view look = {});

/// What the script replaces, by name: a div, or another element.
[[nodiscard]] std::string part(std::string_view name, std::string_view markup,
                               std::string_view element = "div", std::string_view attributes = {});

/// A bar of how much of something is used: `share` 0 to 1 and beyond, drawn up to 1, by pattern as
/// well as by colour; `words` say it, and are what a reader of the screen hears.
[[nodiscard]] std::string bar(double share, Verdict verdict, std::string_view words);

}  // namespace earbudget::desk
