#pragma once

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "serving/guard.hpp"
#include "serving/server.hpp"
#include "support/desk_fixture.hpp"

namespace earbudget::test {

inline void replace_all(std::string& text, std::string_view what, std::string_view by) {
    for (std::size_t at = text.find(what); at != std::string::npos;
         at = text.find(what, at + by.size()))
        text.replace(at, what.size(), by);
}

/// A desk on a copy of the demo that is asked by requests as they travel. In them `<host>`,
/// `<origin>`, `<cookie>`, `<token>` and `<length>`, that of the body, stand for what only this
/// start has, so that requests can be kept and changed.
class AskedDesk {
  public:
    AskedDesk()
        : server({}, [this](const serving::Asked& asked) {
              return desk::answer(fixture_.opened, asked);
          }) {
        std::ofstream(fixture_.path("outside.toml"))
            << "kind = \"plan\"\ntitle = \"" << outside << "\"\n";
        std::filesystem::create_symlink(fixture_.path("outside.toml"),
                                        fixture_.path("studies/leads-out.toml"));
        host_ = fmt::format("127.0.0.1:{}", server.port());
        const std::string address = server.address();
        const std::string entered = server.answer_to(fmt::format(
            "GET {} HTTP/1.1\r\nHost: {}\r\n\r\n", address.substr(address.find("/enter")), host_));
        const std::size_t at = entered.find("earbudget-desk-");
        cookie_ = entered.substr(at, entered.find(';', at) - at) +
                  fmt::format("; earbudget-by-{}=operator-1", server.port());
    }

    [[nodiscard]] std::string answer(std::string request) const {
        replace_all(request, "<host>", host_);
        replace_all(request, "<origin>", "http://" + host_);
        replace_all(request, "<cookie>", cookie_);
        replace_all(request, "<token>", server.guard().token_of("operator-1"));
        const std::size_t end = std::min(request.find("\r\n\r\n") + 4, request.size());
        replace_all(request, "<length>", std::to_string(request.size() - end));
        return server.answer_to(request);
    }

    /// Requests that the links and forms of a page make, as a browser would, with what stands in
    /// the fields.
    [[nodiscard]] std::vector<std::string> requests_of(std::string_view page) const;

    /// What an answer must never be; empty where it is none of it.
    [[nodiscard]] static std::string broken(std::string_view request, std::string_view answer);

    /// Files and folders beside the one that was opened: what the desk must never make more of.
    [[nodiscard]] std::set<std::string> beside() const {
        std::set<std::string> names;
        for (const auto& entry :
             std::filesystem::directory_iterator(fixture_.path("studies") + "/.."))
            names.insert(entry.path().filename().string());
        return names;
    }

    [[nodiscard]] static std::string get(std::string_view target) {
        return fmt::format("GET {} HTTP/1.1\r\nHost: <host>\r\nCookie: <cookie>\r\n\r\n", target);
    }
    [[nodiscard]] static std::string post(std::string_view target, std::string_view form) {
        return fmt::format(
            "POST {} HTTP/1.1\r\nHost: <host>\r\nCookie: <cookie>\r\nOrigin: <origin>\r\n"
            "Content-Type: application/x-www-form-urlencoded\r\n"
            "Content-Length: <length>\r\n\r\n{}",
            target, form);
    }

    static constexpr std::string_view outside = "This stands beside the folder";

  private:
    DeskFixture fixture_;

  public:
    serving::Server server;

  private:
    std::string host_ = {}, cookie_ = {};
};

/// What stands in a page of this desk between two texts, from `at` on, which goes behind it; none
/// further: empty, and `at` is the end.
inline std::string_view between(std::string_view page, std::string_view begin, std::string_view end,
                                std::size_t& at) {
    const std::size_t from = page.find(begin, at);
    const std::size_t to = from == page.npos ? page.npos : page.find(end, from + begin.size());
    at = to == page.npos ? page.size() : to + end.size();
    return to == page.npos ? std::string_view()
                           : page.substr(from + begin.size(), to - from - begin.size());
}

/// The value of an attribute of a tag, as text.
inline std::string attribute_of(std::string_view tag, std::string_view name) {
    std::size_t at = 0;
    std::string value(between(tag, fmt::format(" {}=\"", name), "\"", at));
    for (const auto& [markup, text] :
         {std::pair{"&quot;", "\""}, {"&#39;", "'"}, {"&lt;", "<"}, {"&gt;", ">"}, {"&amp;", "&"}})
        replace_all(value, markup, text);
    return value;
}

/// The fields of a form as they stand, once for each of its buttons with a name.
inline std::vector<std::string> filled_in(std::string_view form) {
    std::string fields;
    std::vector<std::string> pressed;
    const auto pair_of = [](std::string_view tag, const std::string& value) {
        const std::string name = attribute_of(tag, "name");
        if (name == "token") return std::string("token=<token>");
        return serving::in_address(name) + "=" + serving::in_address(value);
    };
    std::string select;
    for (std::size_t at = 0; at < form.size();) {
        const std::string tag = " " + std::string(between(form, "<", ">", at)) + " ";
        const bool has_name = tag.find(" name=\"") != tag.npos;
        if (tag.starts_with(" select")) select = tag;
        if (tag.starts_with(" option") && tag.find(" selected") != tag.npos)
            fields += "&" + pair_of(select, attribute_of(tag, "value"));
        if (!has_name) continue;
        const std::string pair = pair_of(tag, attribute_of(tag, "value"));
        if (tag.starts_with(" button")) pressed.push_back(pair);
        if (tag.starts_with(" input") || tag.starts_with(" textarea")) fields += "&" + pair;
    }
    if (pressed.empty()) pressed.emplace_back();
    for (std::string& one : pressed)
        one += fields;
    return pressed;
}

inline std::vector<std::string> AskedDesk::requests_of(std::string_view page) const {
    std::vector<std::string> requests;
    for (std::size_t at = 0; at < page.size();) {
        const std::string target = attribute_of(
            " href=\"" + std::string(between(page, " href=\"", "\"", at)) + "\"", "href");
        if (target.starts_with('/')) requests.push_back(get(target));
    }
    for (std::size_t at = 0; at < page.size();) {
        const std::string_view form = between(page, "<form ", "</form>", at);
        const std::string tag = " " + std::string(form.substr(0, form.find('>')));
        const std::string action = attribute_of(tag, "action");
        if (!action.starts_with('/')) continue;
        for (const std::string& fields :
             filled_in(form.substr(std::min(form.size(), tag.size() - 1))))
            requests.push_back(attribute_of(tag, "method") == "post" ? post(action, fields)
                                                                     : get(action + "?" + fields));
    }
    return requests;
}

inline std::string AskedDesk::broken(std::string_view request, std::string_view answer) {
    if (!answer.starts_with("HTTP/1.1 ")) return "no answer";
    const std::string_view status = answer.substr(9, 3);
    if (status.starts_with('5')) return "a fault";
    const std::string_view body = answer.substr(std::min(answer.find("\r\n\r\n"), answer.size()));
    if (answer.find(outside) != answer.npos) return "a file of outside";
    if (status != "200" || answer.find("\r\nContent-Type: text/") == answer.npos) return {};
    // "nan" as a word by itself that was not asked with.
    for (const std::string_view odd : {"nan", "inf", "-nan", "-inf", "NaN", "Infinity"})
        for (std::size_t at = body.find(odd); at != body.npos; at = body.find(odd, at + 1)) {
            const auto is_part = [&](std::size_t place) {
                return place < body.size() &&
                       (std::isalnum(static_cast<unsigned char>(body[place])) ||
                        body[place] == '-' || body[place] == '_');
            };
            if (!is_part(at - 1) && !is_part(at + odd.size()) && request.find(odd) == request.npos)
                return "a number that is none: " + std::string(body.substr(at - 40, 80));
        }
    return {};
}

}  // namespace earbudget::test
