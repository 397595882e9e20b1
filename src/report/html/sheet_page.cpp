#include "report/sheet_page.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/decision/allowance_course.hpp"
#include "earbudget/decision/seating.hpp"
#include "report/assess_sentences.hpp"
#include "report/assess_words.hpp"
#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/sheet_runs.hpp"
#include "report/html/table.hpp"
#include "report/version.hpp"

namespace earbudget::report {

namespace {

using namespace html;

// What one sheet of A4 or Letter holds in large and in smaller letters: with these the longest
// sheet still fits one page.
constexpr std::size_t most_people = 4;
constexpr std::size_t most_types = 3;
constexpr std::size_t lines_in_large = 32;
constexpr std::size_t most_in_name = 24;
constexpr std::size_t most_in_title = 34;
constexpr std::size_t most_in_advice = 170;
constexpr std::size_t most_advised = 2;
constexpr std::size_t most_named = 3;

std::string worn_words(const Plan& plan, const Person& person) {
    const std::string in_tasks = shortened(worn_in_tasks(person), most_in_title);
    if (person.wears.empty()) {
        return in_tasks.empty() ? "nothing" : fmt::format("in tasks: {}; else nothing", in_tasks);
    }
    std::string words;
    for (const std::string& id : person.wears)
        words += fmt::format("{}{}", words.empty() ? "" : " + ",
                             shortened(plan.catalogue.find(id)->protector.title, most_in_title));
    return in_tasks.empty() ? words : fmt::format("{}; in tasks: {}", words, in_tasks);
}

std::string fit_words(const PersonResult& person) {
    const bool hangs_on_it = std::ranges::any_of(person.criteria, [](const auto& criterion) {
        return criterion.with_poor_fit == Verdict::Over && criterion.verdict != Verdict::Over;
    });
    return hangs_on_it ? "; over a limit if poorly seated" : "";
}

/// What the day as planned comes to, or that it must not be run so.
std::string day_words(const PersonResult& person) {
    const DayCourse course = allowance_course(person);
    const auto used =
        course.rows.empty() ? std::nullopt : course.highest_after(course.rows.size() - 1);
    const std::string day = used ? percent_text(*used) + " of the allowance" : "no limit";
    switch (person.verdict) {
        case Verdict::Within:
            return "within: " + day + fit_words(person);
        case Verdict::Close:
            return "close to a limit: " + day + fit_words(person);
        case Verdict::Unknown:
            return "cannot be decided: do not start, call";
        case Verdict::Over:
            return "over a limit: do not run as planned; " + day;
    }
    return day;
}

SheetPart people_part(const Assessment& assessment) {
    SheetPart part;
    Table table("Each person's protectors and day",
                {{"person"}, {"wears, both ears"}, {"the day as planned"}});
    const auto people = worst_first(assessment);
    std::string advice;
    std::size_t advised = 0;
    for (std::size_t n = 0; n < std::min(people.size(), most_people); ++n) {
        const PersonResult& person = *people[n];
        table.row({text(shortened(person.person->id, most_in_name)),
                   text(worn_words(*assessment.plan, *person.person)), escaped(day_words(person))},
                  name_of(person.verdict));
        if (person.verdict == Verdict::Within || person.advice.empty()) continue;
        if (++advised > most_advised) continue;
        // Metal has been told above.
        const auto first = std::ranges::find_if(
            person.advice, [](const Advice& one) { return one.code != "metal-outside"; });
        if (first == person.advice.end()) continue;
        advice +=
            element("p", text(fmt::format("{}: {}", shortened(person.person->id, most_in_name),
                                          shortened(first->text, most_in_advice))));
        part.lines += 3;
    }
    if (people.size() > most_people) {
        std::string names;
        for (std::size_t n = most_people; n < std::min(people.size(), most_people + most_named);
             ++n)
            names += fmt::format("{}{} ({})", names.empty() ? "" : ", ",
                                 shortened(people[n]->person->id, most_in_name),
                                 name_of(people[n]->verdict));
        const std::size_t others = people.size() - most_people;
        part.left_out.push_back(others > most_named
                                    ? fmt::format("{} and {} more", names, others - most_named)
                                    : names);
    }
    if (advised > most_advised)
        part.left_out.push_back(fmt::format("what {} more people can do", advised - most_advised));
    // What can hurt at the door of the room stands before everything about hearing.
    std::string dangers;
    std::size_t told = 0;
    for (const PersonResult* person : people) {
        for (const Advice& one : person->advice) {
            if (one.code != "metal-outside" || ++told > most_advised) continue;
            const std::string id = shortened(person->person->id, most_in_name);
            dangers += element(
                "p", text(fmt::format("Stop, {}: {}", id, shortened(one.text, most_in_advice))));
            part.lines += 2;
        }
    }
    if (told > most_advised)
        part.left_out.push_back(fmt::format("{} more protectors of metal", told - most_advised));
    part.markup = dangers + table.markup() + advice;
    part.lines += 2 + 2 * std::min(people.size(), most_people);
    return part;
}

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

std::vector<ProtectorType> types_worn(const Assessment& assessment) {
    std::vector<ProtectorType> types;
    const auto add = [&](const std::vector<std::string>& ids) {
        for (const std::string& id : ids) {
            const auto type = assessment.plan->catalogue.find(id)->protector.type;
            if (std::ranges::find(types, type) == types.end()) types.push_back(type);
        }
    };
    for (const PersonResult& person : assessment.people) {
        add(person.person->wears);
        for (const Task& task : person.person->tasks)
            if (task.wears) add(*task.wears);
        if (person.verdict != Verdict::Within && !person.advice.empty())
            add(person.advice.front().wears);
    }
    return types;
}

SheetPart seating_part(const Assessment& assessment) {
    SheetPart part;
    const auto types = types_worn(assessment);
    if (types.empty()) return part;
    std::string items;
    for (std::size_t n = 0; n < std::min(types.size(), most_types); ++n) {
        items += fmt::format("<li><strong>{}</strong>: {}. <em>Check</em>: {}.</li>\n",
                             words_for(types[n]), how_to_seat(types[n]), how_to_check(types[n]));
    }
    items +=
        "<li>Then ask: is the scanner's pump, the steady beat in the room, clearly quieter? If "
        "not, seat it again.</li>\n";
    if (types.size() > most_types)
        part.left_out.push_back(
            fmt::format("how to seat {} more kinds of protector", types.size() - most_types));
    part.markup = section("seating", 2, "Before the first run: seat and check both ears",
                          element("ul", "plain", "\n" + items));
    part.lines = 3 + 2 * std::min(types.size(), most_types);
    return part;
}

std::string contact_words(const std::optional<Contact>& contact) {
    if (!contact) return "<strong>Call</strong>: ____________________ (not stated in the plan)";
    std::string words;
    for (const std::string* part : {&contact->phone, &contact->name, &contact->role}) {
        if (part->empty()) continue;
        words += (words.empty() ? "" : ", ") + text(shortened(*part, most_in_title));
    }
    return "<strong>Call</strong>: " + words;
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

}  // namespace

std::string sheet_page(const Assessment& assessment, const SourceFile& plan_file,
                       const std::optional<Contact>& contact, const Record& record) {
    const PageHead head{"assess --sheet", "At the scanner", shortened(assessment.plan->title, 48),
                        shortened(plan_file.path, 60), record.date};
    const SheetPart people = people_part(assessment);
    const SheetPart seating = seating_part(assessment);
    const SheetPart runs = runs_part(assessment);
    std::string left_out;
    for (const SheetPart* part : {&people, &seating, &runs}) {
        for (const std::string& what : part->left_out)
            left_out += (left_out.empty() ? "" : ", ") + what;
    }
    if (!left_out.empty())
        left_out = element("p", "left-out",
                           "<strong>Left out, no room on one sheet</strong>: " + text(left_out) +
                               ". The whole is in the assessment.");
    const std::size_t lines =
        people.lines + seating.lines + runs.lines + (left_out.empty() ? 0 : 2);
    const bool large = lines <= lines_in_large;
    const std::string main = left_out + section("people", 2, "Who wears what", people.markup) +
                             seating.markup + section("runs", 2, "The runs in order", runs.markup) +
                             stop_part(contact);
    const std::string foot =
        element("p", "soft",
                fmt::format("Supports and does not replace a competent person's judgement; local "
                            "law and the facility's rules come first. Made from the plan by "
                            "earbudget {}; void once the plan changes.",
                            program_version()));
    return page(head, {}, main, foot, large ? "sheet" : "sheet small");
}

}  // namespace earbudget::report
