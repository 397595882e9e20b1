#pragma once

#include <string>
#include <string_view>

#include "desk/try_form.hpp"
#include "files/open_file.hpp"
#include "files/toml_tree.hpp"
#include "support/desk_fixture.hpp"
#include "support/program.hpp"
#include "support/temporary_folder.hpp"

namespace earbudget::test {

inline bool holds(std::string_view text, std::string_view part) {
    return text.find(part) != std::string_view::npos;
}

/// A desk on whose plan changes are tried.
class TryDesk : public DeskFixture {
  public:
    TryDesk() : original(content_of(plan())) {}

    [[nodiscard]] std::string plan() const { return path("studies/plan.toml"); }

    [[nodiscard]] std::string sha256() const { return files::sha256_of_text(content_of(plan())); }

    /// As the page of the plan begins.
    [[nodiscard]] desk::trying::TrialForm form() const {
        return desk::trying::form_in_file(files::parse_toml(content_of(plan()), plan()), 0, 0);
    }

    /// What a browser sends of it, with what else is in the form.
    [[nodiscard]] desk::Reply send(const desk::trying::TrialForm& form, const Fields& also = {},
                                   bool by_script = false) const {
        Fields fields = {{"plan", "plan.toml"}, {"sha256", sha256_}};
        for (const auto& some : {fields_of(form), also})
            fields.insert(fields.end(), some.begin(), some.end());
        desk::Asked asked{.method = "POST", .path = "/try"};
        asked.form = desk::Form(fields);
        asked.by_script = by_script;
        return desk::answer(opened, asked);
    }

    /// The forms that follow are of the file as it is now.
    void opened_anew() { sha256_ = sha256(); }

    /// What the button with this label sends; empty where there is none.
    [[nodiscard]] static std::string button(const std::string& page, const std::string& label) {
        const std::size_t end = page.find("><bdi>" + label + "</bdi></button>");
        if (end == page.npos) return "";
        const std::size_t begin = page.find("value=\"", page.rfind("<button", end)) + 7;
        std::string value = page.substr(begin, page.find('"', begin) - begin);
        for (std::size_t at = 0; (at = value.find("&amp;", at)) != value.npos; ++at)
            value.replace(at, 5, "&");
        return value;
    }

    /// What stands at a field, as markup.
    [[nodiscard]] static std::string wrong_at(const std::string& page, const std::string& field) {
        const std::size_t begin = page.find("id=\"" + field + "-wrong\">");
        if (begin == page.npos) return "(no such field)";
        const std::size_t from = page.find('>', begin) + 1;
        const std::string words = page.substr(from, page.find("</span>", from) - from);
        return words.find_first_not_of(" \n") == words.npos ? "" : words;
    }

    std::string original;

  private:
    std::string sha256_ = sha256();
};

}  // namespace earbudget::test
