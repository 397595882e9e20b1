#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earbudget/advice/phrases.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "report/assess_words.hpp"
#include "report/html/markup.hpp"
#include "report/record.hpp"
#include "report/reports.hpp"
#include "report/sheet_parts.hpp"
#include "report/text_style.hpp"
#include "report/words/words.hpp"

namespace earbudget::report {

namespace {

// What one sheet of A4 or Letter holds in large letters.
constexpr std::size_t rows_in_large = 12;

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
        case ProtectorType::Pad:
            return "Head-coil pad";
    }
    return "";
}

std::vector<ProtectorType> types_of(const Plan& plan, const std::vector<SheetPerson>& people) {
    std::vector<ProtectorType> types;
    const auto add = [&](const std::vector<std::string>& ids) {
        for (const std::string& id : ids)
            add_once(plan.catalogue.find(id)->protector.type, types);
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

/// "; call 204, duty physicist"
std::string call_words(const std::optional<Contact>& contact) {
    const std::string whom =
        contact ? joined({on_sheet(contact->phone), on_sheet(contact->name)}, ", ") : "";
    return joined({"; call", whom}, " ") + ".";
}

std::string why_not(const SheetPerson& one) {
    if (one.day().verdict == Verdict::Unknown || one.out->kind == HandOut::Kind::Undecided)
        return "cannot be decided";
    if (one.out->kind == HandOut::Kind::Nothing && one.out->plan_is_refused)
        return "what the plan has does not suit them, and nothing else that can be worn is known to "
               "keep the limits";
    if (one.out->kind == HandOut::Kind::Nothing)
        return "over a limit, and nothing that can be worn is known to keep the limits";
    return "over a limit as planned";
}

struct Line {
    std::string first;  ///< words before the names
    std::string then;   ///< after them
    std::vector<std::string> ids = {};
};

void add(const SheetPerson& one, Line line, std::vector<Line>& lines) {
    auto known = std::ranges::find_if(lines, [&](const Line& other) {
        return other.first == line.first && other.then == line.then;
    });
    if (known == lines.end()) known = lines.insert(lines.end(), std::move(line));
    known->ids.push_back(one.person().id);
}

std::string contact_words(const std::optional<Contact>& contact) {
    if (!contact) return strong("Call") + ": ____________________ (not stated in the plan)";
    return strong("Call") + ": " + joined({contact->phone, contact->name, contact->role}, ", ");
}

}  // namespace

std::vector<Block> first_part(const Plan& plan, const std::vector<SheetPerson>& people,
                              const std::optional<Contact>& contact) {
    std::vector<Line> stopped, changed;
    for (const SheetPerson& one : people) {
        if (may_not_start(one)) {
            add(one, {"Do not start with", ": " + why_not(one) + call_words(contact)}, stopped);
        } else if (one.planned->verdict == Verdict::Over ||
                   one.planned->verdict == Verdict::Unknown) {
            const auto& wears = one.person().wears;
            add(one,
                {"Not as planned with",
                 fmt::format(": with {} {}; hand out what stands below.",
                             wears.empty() ? "nothing" : worn_title(plan, wears),
                             one.planned->verdict == Verdict::Over ? "over a limit"
                                                                   : "it cannot be decided")},
                changed);
        }
    }
    std::vector<Block> blocks;
    for (const auto* lines : {&stopped, &changed})
        for (const Line& line : *lines)
            blocks.push_back({Paragraph{
                strong(line.first + " " + short_names(line.ids, people)) + line.then, "metal"}});
    return blocks;
}

namespace {

/// What must be asked or looked at before anybody starts.
std::vector<Block> questions_part(const Assessment& assessment) {
    std::vector<Block> blocks;
    for (const Warning& warning : said_once(assessment.warnings)) {
        if (!is_asked_before(warning)) continue;
        blocks.push_back({Paragraph{strong("Before the start") + ", " +
                                        warning_words(warning, assessment.people.size()) + ".",
                                    "check"}});
    }
    return blocks;
}

}  // namespace

Section fit_part(const Plan& plan, const std::vector<SheetPerson>& people) {
    Section section{"seating", "Before the first run: seat and check both ears", {}};
    const auto types = types_of(plan, people);
    if (types.empty()) return section;
    List list;
    for (const ProtectorType type : types)
        list.items.push_back({fmt::format(
            "{}: {}. {}: {}.", strong(words_for(type)), text_of(say<AdvicePhrase::HowToSeat>(type)),
            strong("Check"), text_of(say<AdvicePhrase::HowToCheck>(type)))});
    const auto has_spare = [](const SheetPerson& one) { return !one.out->spare.empty(); };
    const bool some = std::ranges::any_of(people, has_spare);
    const bool all = std::ranges::all_of(people, has_spare);
    list.items.push_back(
        {fmt::format("Then ask: is the pump, the steady beat in the room, clearly quieter? "
                     "If not, seat it again; {}{}.",
                     some ? "then take the spare" : "",
                     all    ? ""
                     : some ? ", or call"
                            : "if it is still no quieter, do not start and call")});
    section.blocks.push_back({std::move(list)});
    return section;
}

Section stop_part(const std::optional<Contact>& contact) {
    return {"stop",
            "Stop at once",
            {{sentences({"The squeeze ball is pressed, or someone speaks of " +
                             strong("pain, ringing or dulled hearing") +
                             ": stop the run, do not go on that day, refer.",
                         "A plug or muff has come loose: stop, seat it again, check both ears.",
                         "An allowance is used up, or a run is to be made that is not on this "
                         "sheet: stop and call.",
                         "Before the first run each participant presses the squeeze ball once."})},
             {Paragraph{contact_words(contact), "call"}}}};
}

Section writing_part(const std::vector<SheetPerson>& people) {
    std::vector<AlikeOnSheet> rows;
    for (const SheetPerson& one : people) {
        if (!is_exposed_to_timeline(*one.planned)) continue;
        const std::string role(name_of(one.person().role));
        add_alike(one.person().id, {role, fmt::format("{}", fmt::join(one.out->wears, " "))},
                  one.planned->verdict, rows);
    }
    Section section{"writing", "Written down at the scanner", {}};
    if (rows.empty()) return section;
    Table table{.name = "To write on, and to be kept as the unit keeps its records",
                .columns = {},
                .look = "write"};
    for (const char* title :
         {"person", "participant's code", "left ear checked", "right ear checked",
          "time really run", "stopped because", "signature"})
        table.columns.push_back({.key = "", .title = title, .number = false});
    for (const AlikeOnSheet& row : rows) {
        const bool each = row.ids.size() <= most_alike_in_a_session;
        for (std::size_t n = 0; n < (each ? row.ids.size() : 1); ++n)
            table.rows.push_back(
                {{each ? on_sheet(row.ids[n]) : "one of " + short_names(row.ids, people), "", "",
                  "", "", "", ""}});
    }
    section.blocks.push_back({std::move(table)});
    return section;
}

Document sheet_document(const Assessment& assessment, const HandOuts& outs, const SourceFile& file,
                        const std::optional<Contact>& contact, const Record& record) {
    const Plan& plan = *assessment.plan;
    const auto people = worst_first(assessment, outs);
    std::vector<Block> first = first_part(plan, people, contact);
    first.push_back(
        {Paragraph{"Fingerprint of all files read: " + hash_digits(fingerprint_in_fours(record)) +
                       ". Void once the plan, a card or the catalogue changes: the "
                       "assessment's record then has another fingerprint.",
                   "check"}});
    append(metal_part(plan, people), first);
    append(questions_part(assessment), first);
    const bool large = people.size() + plan.timeline.size() <= rows_in_large;
    Document document{
        .head = {"assess --sheet", "At the scanner", html::shortened(plan.title, 100),
                 html::shortened(file.path, 100), record.date},
        .sections = {},
        .foot = fmt::format("Supports and does not replace a competent person's judgement; local "
                            "law and the facility's rules come first. Made by earbudget {}. Whole "
                            "fingerprint: {}",
                            program_version(), hash_digits(record.fingerprint)),
        .form = large ? Document::Form::Sheet : Document::Form::SmallSheet};
    document.first_line = words_on_examples(record);
    document.sections.push_back({"first", "", std::move(first)});
    for (Section& section :
         std::array{people_part(plan, people), stop_part(contact), fit_part(plan, people),
                    runs_part(plan, people), writing_part(people)})
        if (!section.blocks.empty()) document.sections.push_back(std::move(section));
    return document;
}

}  // namespace earbudget::report
