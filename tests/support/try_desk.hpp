#pragma once

#include <regex>
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

    /// What a browser sends of the form in a page, nothing typed.
    [[nodiscard]] static Fields fields_in(const std::string& page) {
        const std::regex part(
            "<input ([^>]*)>|<select [^>]*name=\"([^\"]*)\"|<option value=\"([^\"]*)\" selected");
        const auto attribute = [](const std::string& tag, const std::string& name) {
            const std::size_t at = tag.find(name + "=\"");
            if (at == tag.npos) return std::string();
            const std::size_t begin = at + name.size() + 2;
            return tag.substr(begin, tag.find('"', begin) - begin);
        };
        const std::size_t begin = page.find("id=\"try\"");
        Fields fields;
        std::string choice;
        for (auto it = std::sregex_iterator(page.begin() + static_cast<std::ptrdiff_t>(begin),
                                            page.end(), part);
             it != std::sregex_iterator(); ++it) {
            const std::smatch& match = *it;
            const std::string tag = match[1];
            if (match[2].matched) choice = match[2];
            if (match[3].matched) fields.emplace_back(choice, plain(match[3]));
            if (tag.empty() || (holds(tag, "checkbox") && !holds(tag, " checked"))) continue;
            fields.emplace_back(attribute(tag, "name"), plain(attribute(tag, "value")));
        }
        return fields;
    }

    /// What the button with this label sends; empty where there is none.
    [[nodiscard]] static std::string button(const std::string& page, const std::string& label) {
        const std::size_t end = page.find("><bdi>" + label + "</bdi></button>");
        if (end == page.npos) return "";
        const std::size_t begin = page.find("value=\"", page.rfind("<button", end)) + 7;
        return plain(page.substr(begin, page.find('"', begin) - begin));
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
    static std::string plain(std::string value) {
        for (const auto& [escaped, character] :
             {std::pair("&#39;", "'"), std::pair("&quot;", "\""), std::pair("&amp;", "&")})
            for (std::size_t at = 0; (at = value.find(escaped, at)) != value.npos; ++at)
                value.replace(at, std::string_view(escaped).size(), character);
        return value;
    }

    std::string sha256_ = sha256();
};

}  // namespace earbudget::test
