// What is recorded of one person, and of one session that has ended.
#include <algorithm>
#include <charconv>
#include <set>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/register_pages.hpp"
#include "desk/register_routes.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/register_copy.hpp"
#include "records/register_import.hpp"
#include "records/register_report.hpp"
#include "records/session_show.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk {

namespace {

using registers::Entry;
using registers::EntryKind;
using report::html::element;
using report::html::section;
using report::html::text;
using sessions::LocalDay;

/// Days of one page about a person.
struct PeriodShown {
    LocalDay first, last;
    std::string words;  ///< "2026-11", "the week of 2026-11-23"
};

/// A person as the pages know them.
struct PersonShown {
    std::string as;
    registers::PersonCopy copy;
    std::set<LocalDay> days;  ///< on which anything began
};

PersonShown person_asked(const Asked& asked, const OfRegister& opened) {
    const std::string as = asked.query.filled("as").value_or("");
    if (!opened.from.knows(as)) throw InputError({opened.from.path()}, records::unknown_code(as));
    PersonShown person{as, opened.from.copy_of(as), {}};
    for (const Entry& entry : person.copy.entries)
        if (entry.kind != EntryKind::Link && entry.kind != EntryKind::Correction)
            person.days.insert(opened.calendar.day_of(entry.from));
    return person;
}

std::string person_page_of(const PersonShown& person, std::string_view more = {}) {
    return fmt::format("/register/person?as={}{}", serving::in_address(person.as), more);
}

PeriodShown week_shown(LocalDay day) {
    constexpr int to_sunday = 6;
    const LocalDay monday = sessions::monday_of(day);
    return {monday, monday + to_sunday, "the week of " + sessions::iso_date(monday)};
}

PeriodShown whole_month(const MonthAsked& month) { return {month.first, month.last, month.name()}; }

/// The month or week that is asked for, else the newest month with anything in it.
PeriodShown period_asked(const Asked& asked, const OfRegister& opened, const PersonShown& person) {
    if (const auto week = asked.query.filled("week")) {
        const auto day = sessions::day_named(*week);
        if (!day) {
            throw InputError({"week"}, fmt::format("\"{}\" is no day; accepted: a day of the week, "
                                                   "such as 2026-11-23",
                                                   *week));
        }
        return week_shown(*day);
    }
    if (const auto month = asked.query.filled("month")) return whole_month(month_named(*month));
    const LocalDay newest =
        person.days.empty() ? opened.calendar.day_of(now()) : *person.days.rbegin();
    return whole_month(month_of(newest));
}

/// Every month with anything in it.
std::string months_list(const PersonShown& person, const PeriodShown& shown) {
    std::set<std::string> months;
    for (const LocalDay day : person.days)
        months.insert(month_of(day).name());
    std::string items;
    for (const std::string& month : months) {
        items += fmt::format("<li><a href=\"{}\"{}>{}</a></li>\n",
                             report::html::escaped(person_page_of(person, "&month=" + month)),
                             month == shown.words ? " aria-current=\"page\"" : "", month);
    }
    return items.empty()
               ? ""
               : "<nav aria-label=\"Months\" class=\"months\">\n<ul>\n" + items + "</ul>\n</nav>\n";
}

std::string weeks_list(const PersonShown& person, const PeriodShown& month) {
    std::set<LocalDay> weeks;
    for (const LocalDay day : person.days)
        if (day >= month.first && day <= month.last) weeks.insert(sessions::monday_of(day));
    std::string links;
    for (const LocalDay monday : weeks) {
        const std::string date = sessions::iso_date(monday);
        links += link(person_page_of(person, "&week=" + date), "Week of " + date, "act") + "\n";
    }
    return element("p", text(month.words + " is shown week by week:")) +
           element("p", "acts", "\n" + links);
}

report::Document report_on_period(const OfRegister& opened, const PersonShown& person,
                                  const PeriodShown& period) {
    const auto report = records::report_on_person(
        opened.from, opened.calendar,
        {.as = person.as, .from = period.first, .to = period.last, .now = now()},
        record_of_today());
    report::Document document = records::report_document(report, /*detail=*/true);
    // Of somebody in one role the verdict stands above.
    if (report.totals.people.size() == 1)
        for (report::Section& section : document.sections)
            if (section.id.starts_with("person-")) section.answer.reset();
    if (report::Table* table = table_in("sessions", document)) {
        for (std::size_t n = 0; n < table->rows.size() && n < report.sessions.size(); ++n) {
            const auto& one = report.sessions[n];
            table->rows[n].cells.front().link =
                fmt::format("/register/session/{}?as={}", one.session, serving::in_address(one.as));
        }
    }
    return document;
}

/// Entries that stand in the place of others.
std::string corrections_of(const OfRegister& opened, const PersonShown& person,
                           const PeriodShown& period) {
    records::CopyReport shown{records::file_of(opened.from), record_of_today(), {}};
    shown.copy.codes = person.copy.codes;
    for (const Entry& entry : person.copy.entries) {
        const LocalDay day = opened.calendar.day_of(entry.from);
        if (entry.kind == EntryKind::Correction && day >= period.first && day <= period.last)
            shown.copy.entries.push_back(entry);
    }
    if (shown.copy.entries.empty()) return element("p", "Nothing of it was corrected.");
    report::Document document = records::copy_document(shown, /*detail=*/true);
    report::Table* table = table_in("entries", document);
    if (!table) return "";
    table->name = "Corrections";
    return report::as_markup({{std::move(*table)}});
}

std::string correct_section(const Asked& asked, const OfRegister& opened, const PersonShown& person,
                            const PeriodShown& period) {
    return section("corrections", 2, "Corrections",
                   corrections_of(opened, person, period) +
                       "<details>\n<summary>Correct an entry</summary>\n" +
                       correction_form(asked, {.as = person.as, .newest = opened.newest}) +
                       "</details>\n");
}

std::string take_section(const PersonShown& person, const PeriodShown& period) {
    const std::vector<std::pair<std::string, std::string>> of = {{"as", person.as}};
    std::vector<std::pair<std::string, std::string>> of_period = of;
    of_period.insert(of_period.end(), {{"from", sessions::iso_date(period.first)},
                                       {"to", sessions::iso_date(period.last)}});
    return section(
        "take", 2, "To be kept or handed over",
        element("p", text("The record of " + period.words + ":")) +
            download_links("person", of_period, {"json", "html"}) +
            element("p", text("Each limit on each day and week of " + period.words + ":")) +
            download_links("totals", of_period, {"csv", "json", "html"}) +
            element("p", "The record of all that was heard:") +
            download_links("person", of, {"json", "html"}) +
            element("p", "A copy of every entry, for this person:") +
            download_links("export", of, {"json", "html"}));
}

std::string erase_link(const PersonShown& person) {
    return section("erase", 2, "Erasing",
                   element("p", "acts",
                           link("/register/erase?as=" + serving::in_address(person.as),
                                "What erasing this person does", "act")));
}

/// The report, by the week where a month would be too much for a page.
std::string heard_part(const OfRegister& opened, const PersonShown& person, PeriodShown& period) {
    constexpr int longest_week = 7;
    std::string part = part_of_page(report_on_period(opened, person, period));
    const bool is_month = period.last.number - period.first.number >= longest_week;
    if (part.size() <= most_of_a_part || !is_month) return part;
    const PeriodShown month = period;
    for (const LocalDay day : person.days)
        if (day >= month.first && day <= month.last) period = week_shown(day);
    return weeks_list(person, month) + part_of_page(report_on_period(opened, person, period));
}

std::string other_codes(const PersonShown& person) {
    if (person.copy.codes.size() < 2) return "";
    return element("p", text(fmt::format("One person by the codes {}.",
                                         report::joined(person.copy.codes, ", "))));
}

/// The number of a session that an address names; 0 for none.
std::int64_t session_number(const std::string& words) {
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(words.data(), words.data() + words.size(), number);
    return error == std::errc() && end == words.data() + words.size() ? number : 0;
}

/// What can be corrected of a session.
std::vector<std::pair<std::string, std::string>> correctable(const records::ShowReport& report) {
    std::vector<std::pair<std::string, std::string>> entries;
    for (const records::EntryDone& entry : report.entries) {
        if (entry.kind == EntryKind::SessionStart || entry.kind == EntryKind::Present) continue;
        entries.emplace_back(
            fmt::format("{}", entry.n),
            fmt::format("{}: {}{}{}", entry.n, registers::entry_kinds[entry.kind].name,
                        entry.what.empty() ? "" : ", ", entry.what));
    }
    return entries;
}

std::string others_there(const records::ShowReport& report) {
    std::string links;
    const auto add = [&](const std::string& code) {
        if (code == report.as) return;
        links += link(fmt::format("/register/session/{}?as={}", report.session.number,
                                  serving::in_address(code)),
                      "As " + code + " heard it", "act") +
                 "\n";
    };
    add(report.session.as);
    for (const auto& [code, body] : report.session.present)
        add(code);
    return links;
}

}  // namespace

Reply register_person(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    const PersonShown person = person_asked(asked, opened);
    PeriodShown period = period_asked(asked, opened, person);
    const std::string heard = heard_part(opened, person, period);
    const std::string main = other_codes(person) + months_list(person, period) + heard +
                             correct_section(asked, opened, person, period) +
                             take_section(person, period) + erase_link(person);
    return framed(asked, {.here = "/register",
                          .title = fmt::format("{}, {}", person.as, period.words),
                          .main = main,
                          .said = said_of_done(asked, opened)});
}

Reply register_session(const Opened& desk, const Asked& asked, const Parts& parts) {
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    const records::SessionAsked about{.session = session_number(parts.front()),
                                      .as = asked.query.filled("as")};
    const auto report = records::show_of(opened.from, about, record_of_today().date);
    report::Document document = records::show_document(report);
    const std::string person = "/register/person?as=" + serving::in_address(report.as);
    const std::string acts =
        (report.ends ? ""
                     : link(fmt::format("/session/{}", report.session.number),
                            "Go on with this session", "act") +
                           "\n") +
        link(fmt::format("{}&month={}", person,
                         month_of(opened.calendar.day_of(report.begins.at)).name()),
             "The month of " + report.as, "act") +
        "\n" + others_there(report);
    const std::string main =
        part_of_page(std::move(document)) +
        element("p", "soft", text(records::levels_not_measured)) +
        element("p", "acts", "\n" + acts) +
        section(
            "correct", 2, "Correct an entry",
            correction_form(
                asked, {.as = report.as, .newest = opened.newest, .entries = correctable(report)}));
    return framed(asked, {.here = "/register",
                          .title = fmt::format("Session {}", report.session.number),
                          .main = main,
                          .said = said_of_done(asked, opened)});
}

}  // namespace earbudget::desk
