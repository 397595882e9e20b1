// What the register is, and the way to everybody in it.
#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/register_pages.hpp"
#include "desk/register_routes.hpp"
#include "desk/studies.hpp"
#include "records/register_done.hpp"
#include "report/text_style.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::section;
using report::html::text;

std::string small_letters(std::string_view words) {
    std::string small;
    for (const char letter : words)
        small += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    return small;
}

std::string address_of_record(const std::string& code) {
    return "/register/person?as=" + serving::in_address(code);
}

/// Codes that hold what was typed, whatever its letters' case.
std::string found_codes(const OfRegister& opened, const std::string& typed) {
    constexpr std::size_t most_listed = 60;  // own choice
    const std::string wanted = small_letters(typed);
    std::string items;
    std::size_t found = 0;
    for (const std::string& code : opened.from.codes()) {
        if (small_letters(code).find(wanted) == std::string::npos || ++found > most_listed)
            continue;
        items += element("li", link(address_of_record(code), code));
    }
    if (found == 0)
        return element("p", text(fmt::format("No code of the register holds \"{}\".", typed)));
    std::string words = element("ul", "plain", "\n" + items);
    if (found > most_listed)
        words += element(
            "p", text(fmt::format("And {} more: type more of the code.", found - most_listed)));
    return words;
}

std::string find_section(const OfRegister& opened, const std::string& typed) {
    std::string content = get_form(
        "/register", field({.name = "code",
                            .label = "Code, or a part of it",
                            .value = typed,
                            .type = "search",
                            .attributes = "required maxlength=\"60\" autocomplete=\"off\""}) +
                         element("p", "acts", button("Find", {}, {}, {}, "main")));
    if (!typed.empty()) content += part("found", found_codes(opened, typed));
    return section("find", 2, "A person's record", content);
}

std::string staff_section(const OfRegister& opened) {
    const std::string month = month_of(opened.calendar.day_of(now())).name();
    return section("staff", 2, "Staff in a month",
                   get_form("/register/staff", field({.name = "month",
                                                      .label = "Month",
                                                      .value = month,
                                                      .hint = "year and month, such as 2026-11",
                                                      .type = "month",
                                                      .attributes = "required"}) +
                                                   element("p", "acts", button("Show the month"))));
}

/// Titles of the plans of the desk's folder, each once.
std::vector<std::pair<std::string, std::string>> titles_of_plans(const Opened& desk) {
    std::vector<std::pair<std::string, std::string>> titles = {{"", "of another title:"}};
    for (const Listed& plan : listed_plans(desk)) {
        if (plan.title.empty() || plan.is_study) continue;
        const std::pair<std::string, std::string> one{plan.title, plan.title};
        if (std::ranges::find(titles, one) == titles.end()) titles.insert(titles.end() - 1, one);
    }
    return titles;
}

std::string study_section(const Opened& desk) {
    const auto titles = titles_of_plans(desk);
    std::string fields;
    if (titles.size() > 1)
        fields = choice(
            {.name = "title", .label = "Study", .options = titles, .value = titles[0].first});
    fields += field({.name = titles.size() > 1 ? "other" : "title",
                     .label = titles.size() > 1 ? "Another title" : "Title of its plan",
                     .hint = "as it was when sessions were begun"});
    return section(
        "study", 2, "A study's report",
        get_form("/register/study", fields + element("p", "acts", button("Show the report"))));
}

std::string backup_words(const OfRegister& opened) {
    const auto backups = opened.from.backups();
    if (backups.empty()) return "none was made";
    const registers::BackupRecord& last = backups.back();
    return fmt::format("{}{}, until entry {} (entry {} tells of it)",
                       records::both_times(opened.calendar.stated(last.made)),
                       last.is_there ? "" : ", not found there now", last.head.n, last.n);
}

std::string what_it_is(const OfRegister& opened) {
    const records::RegisterFile file = records::file_of(opened.from);
    report::Definitions terms{
        .entries = {{"file", file.file},
                    {"time zone of its days", file.settings.time_zone},
                    {"made", records::both_times(opened.calendar.stated(file.settings.created))},
                    {"entries", fmt::format("{}", file.head.n)},
                    {"last backup", backup_words(opened)}},
        .look = "record"};
    if (!file.settings.title.empty())
        terms.entries.insert(terms.entries.begin(), {"title", file.settings.title});
    return report::as_markup(
               {{std::move(terms)}, {report::Paragraph{records::head_sentence(file)}}}) +
           element("p", "soft", text(records::pseudonyms_sentence()));
}

/// Whose time has come; of a long register on a page of its own.
std::string due_part(const OfRegister& opened) {
    records::RegisterDone done{"due", records::file_of(opened.from), record_of_today()};
    done.due = opened.from.due(now());
    report::Document document = records::done_document(done, /*detail=*/true);
    leave_out("record", document);
    std::string links;
    for (const registers::Due& due : *done.due)
        if (!due.codes.empty())
            links += link(address_of_record(due.codes.front()), due.codes.front(), "act") + "\n";
    return report::as_markup(document.sections.front().blocks) +
           element("p", "soft", text(report::joined(records::law_sentences(), " "))) +
           (links.empty() ? "" : element("p", "acts", "\n" + links));
}

std::string due_section(const OfRegister& opened) {
    const std::string content =
        opened.is_long()
            ? element("p", "acts", link("/register/due", "Show whose time has come", "act"))
            : due_part(opened);
    return section("due", 2, "Kept longer than the site keeps entries", content);
}

std::string prove_section(const Asked& asked) {
    const std::string fields =
        field({.name = "head",
               .label = "A head of an earlier time",
               .hint = "N:HASH, as reports, sheets and backups print it; left empty, what is cut "
                       "off at the end cannot be seen",
               .attributes = "maxlength=\"100\" autocomplete=\"off\" spellcheck=\"false\""}) +
        element("p", "acts", button("Verify every entry"));
    return section("verify", 2, "Was anything changed?",
                   post_form(asked, "/register/verify", fields));
}

std::string backup_section(const Asked& asked) {
    return section(
        "backup", 2, "Backup",
        element("p",
                "A copy of one moment beside the register, also while others record; an entry "
                "tells of it.") +
            post_form(asked, "/register/backup",
                      teller_field(asked) + element("p", "acts", button("Make a backup"))));
}

std::string link_section(const Asked& asked, const OfRegister& opened) {
    const std::string look = "required maxlength=\"60\" autocomplete=\"off\"";
    return section(
        "link", 2, "Two codes of one person",
        element("p",
                "What was recorded by either code then counts for one person, in every answer. "
                "Look twice: nothing here parts them again.") +
            post_form(asked, "/register/link",
                      hidden("newest", fmt::format("{}", opened.newest)) +
                          field({.name = "one", .label = "One code", .attributes = look}) +
                          field({.name = "other_code", .label = "The other", .attributes = look}) +
                          teller_field(asked, "linked_by") +
                          element("p", "acts", button("Join them"))));
}

}  // namespace

Reply register_home(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    const std::string typed = asked.query.filled("code").value_or("");
    if (!typed.empty() && opened.from.knows(typed)) return Reply::see(address_of_record(typed));
    const std::string everybody = section("totals", 2, "Everybody against every limit",
                                          download_links("totals", {}, {"csv", "json", "html"}));
    const std::string main =
        beside({find_section(opened, typed), staff_section(opened), study_section(desk)}) +
        beside({section("what", 2, "This register", what_it_is(opened)), due_section(opened)}) +
        beside({prove_section(asked), everybody}) +
        beside({backup_section(asked), link_section(asked, opened)});
    return framed(asked, {.here = "/register",
                          .title = "Register",
                          .main = main,
                          .said = said_of_done(asked, opened)});
}

Reply register_due(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    return framed(asked, {.here = "/register",
                          .title = "Kept longer than the site keeps entries",
                          .main = due_part(opened)});
}

std::vector<Route> register_routes() {
    return {{"GET", "/register", register_home},
            {"GET", "/register/due", register_due},
            {"GET", "/register/person", register_person},
            {"GET", "/register/session/*", register_session},
            {"GET", "/register/staff", register_staff},
            {"GET", "/register/study", register_study},
            {"GET", "/register/download", register_download},
            {"GET", "/register/copy", register_copy},
            {"GET", "/register/backup", register_backup_made},
            {"GET", "/register/erase", register_erasing},
            {"GET", "/register/job/*", register_job},
            {"GET", "/register/job/*/file", register_job_file},
            {"POST", "/register/correct", register_correct},
            {"POST", "/register/link", register_link},
            {"POST", "/register/verify", register_verify},
            {"POST", "/register/backup", register_backup},
            {"POST", "/register/erase", register_erase}};
}

}  // namespace earbudget::desk
