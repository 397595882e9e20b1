#include <algorithm>

#include <fmt/format.h>

#include "report/html/markup.hpp"
#include "report/html/sheet_parts.hpp"

namespace earbudget::report::html {

namespace {

/// "; call 204, duty physicist"
std::string call_words(const std::optional<Contact>& contact) {
    std::string whom;
    if (contact) {
        for (const std::string* part : {&contact->phone, &contact->name}) {
            if (!part->empty()) whom += (whom.empty() ? " " : ", ") + text(shortened(*part, 60));
        }
    }
    return "; call" + whom + ".";
}

std::string why_not(const SheetPerson& one) {
    if (one.day().verdict == Verdict::Unknown || one.out->kind == HandOut::Kind::Undecided)
        return "cannot be decided";
    if (one.out->kind == HandOut::Kind::Nothing)
        return "over a limit, and nothing that can be worn keeps the limits";
    return "over a limit as planned";
}

struct Line {
    std::string first;  ///< words before the names
    std::string then;   ///< markup after them
    std::vector<std::string> ids = {};
};

void add(const SheetPerson& one, Line line, std::vector<Line>& lines) {
    auto known = std::ranges::find_if(lines, [&](const Line& other) {
        return other.first == line.first && other.then == line.then;
    });
    if (known == lines.end()) known = lines.insert(lines.end(), std::move(line));
    known->ids.push_back(one.person().id);
}

std::string markup_of(const std::vector<Line>& lines, const std::vector<SheetPerson>& people) {
    std::string markup;
    for (const Line& line : lines)
        markup += element("p", "metal",
                          fmt::format("<strong>{} {}</strong>{}", line.first,
                                      text(short_names(line.ids, people)), line.then));
    return markup;
}

}  // namespace

std::string first_part(const Plan& plan, const std::vector<SheetPerson>& people,
                       const std::optional<Contact>& contact) {
    std::vector<Line> stopped, changed;
    for (const SheetPerson& one : people) {
        if (may_not_start(one)) {
            add(one, {"Do not start with", ": " + why_not(one) + call_words(contact)}, stopped);
        } else if (one.planned->verdict == Verdict::Over ||
                   one.planned->verdict == Verdict::Unknown) {
            const auto& wears = one.person().wears;
            const std::string planned =
                wears.empty() ? text("nothing") : text(worn_title(plan, wears));
            add(one,
                {"Not as planned with",
                 fmt::format(": with {} {}; hand out what stands below.", planned,
                             one.planned->verdict == Verdict::Over ? "over a limit"
                                                                   : "it cannot be decided")},
                changed);
        }
    }
    return markup_of(stopped, people) + markup_of(changed, people);
}

}  // namespace earbudget::report::html
