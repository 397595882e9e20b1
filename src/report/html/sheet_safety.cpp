#include <algorithm>

#include <fmt/format.h>

#include "earbudget/advice/phrases.hpp"
#include "report/html/markup.hpp"
#include "report/html/sheet_parts.hpp"
#include "report/html/table.hpp"
#include "report/words/words.hpp"

namespace earbudget::report::html {

namespace {

// Of so many alike each has a line; of more one has, since a sheet goes with each session.
constexpr std::size_t most_alike_in_a_session = 3;

std::string_view words_for(ProtectorType type) {
    switch (type) {
        case ProtectorType::FoamPlug:
            return "Roll-down foam plug";
        case ProtectorType::PremouldedPlug:
            return "Premoulded plug";
        case ProtectorType::CustomPlug:
            return "Custom-moulded plug";
        case ProtectorType::CanalCap:
            return "Canal caps";
        case ProtectorType::Earmuff:
            return "Earmuff";
    }
    return "";
}

std::vector<ProtectorType> types_of(const Plan& plan, const std::vector<SheetPerson>& people) {
    std::vector<ProtectorType> types;
    const auto add = [&](const std::vector<std::string>& ids) {
        for (const std::string& id : ids) {
            const auto type = plan.catalogue.find(id)->protector.type;
            if (std::ranges::find(types, type) == types.end()) types.push_back(type);
        }
    };
    for (const SheetPerson& one : people)
        add(one.out->wears);
    for (const SheetPerson& one : people) {
        add(one.out->spare);
        for (const Task& task : one.person().tasks)
            if (task.wears) add(*task.wears);
    }
    return types;
}

std::string contact_words(const std::optional<Contact>& contact) {
    if (!contact) return "<strong>Call</strong>: ____________________ (not stated in the plan)";
    std::string words;
    for (const std::string* part : {&contact->phone, &contact->name, &contact->role}) {
        if (!part->empty()) words += (words.empty() ? "" : ", ") + text(*part);
    }
    return "<strong>Call</strong>: " + words;
}

}  // namespace

std::string seating_part(const Plan& plan, const std::vector<SheetPerson>& people) {
    const auto types = types_of(plan, people);
    if (types.empty()) return "";
    std::string items;
    for (const ProtectorType type : types) {
        items += fmt::format("<li><strong>{}</strong>: {}. <em>Check</em>: {}.</li>\n",
                             words_for(type), text_of(say<AdvicePhrase::HowToSeat>(type)),
                             text_of(say<AdvicePhrase::HowToCheck>(type)));
    }
    items +=
        "<li>Then ask: is the scanner's pump, the steady beat in the room, clearly quieter? If "
        "not, seat it again; then take the spare.</li>\n";
    return section("seating", 2, "Before the first run: seat and check both ears",
                   element("ul", "plain", "\n" + items));
}

std::string stop_part(const std::optional<Contact>& contact) {
    return section(
        "stop", 2, "Stop at once",
        "<ul class=\"plain\">\n<li>The squeeze ball is pressed, or someone speaks of <strong>pain, "
        "ringing or dulled hearing</strong>: stop the run, do not go on that day, refer.</li>\n"
        "<li>A plug or muff has come loose: stop, seat it again, check both ears.</li>\n"
        "<li>An allowance is used up, or a run is to be made that is not on this sheet: stop and "
        "call.</li>\n"
        "<li>Before the first run each participant presses the squeeze ball once.</li>\n</ul>\n" +
            element("p", "call", contact_words(contact)));
}

std::string writing_part(const std::vector<SheetPerson>& people) {
    std::vector<AlikeOnSheet> rows;
    for (const SheetPerson& one : people) {
        if (!hears_timeline(*one.planned)) continue;
        const std::string role(name_of(one.person().role));
        add_alike(one.person().id, {role, fmt::format("{}", fmt::join(one.out->wears, " "))},
                  one.planned->verdict, rows);
    }
    if (rows.empty()) return "";
    Table table("To write on, and to be kept as the unit keeps its records",
                {{"person"},
                 {"participant's code"},
                 {"left ear checked"},
                 {"right ear checked"},
                 {"time really run"},
                 {"stopped because"},
                 {"signature"}},
                "write");
    for (const AlikeOnSheet& row : rows) {
        const bool each = row.ids.size() <= most_alike_in_a_session;
        for (std::size_t n = 0; n < (each ? row.ids.size() : 1); ++n) {
            AlikeOnSheet one = row;
            if (each) one.ids = {row.ids[n]};
            const std::string ids =
                each ? shortened(row.ids[n], 60) : "one of " + short_names(row.ids, people);
            table.row({text(ids), "", "", "", "", "", ""});
        }
    }
    return section("writing", 2, "Written down at the scanner", table.markup());
}

}  // namespace earbudget::report::html
