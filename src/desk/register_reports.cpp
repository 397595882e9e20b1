// A staff's month, a study's report, and what is kept as a file.
#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/register_pages.hpp"
#include "desk/register_routes.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/register_copy.hpp"
#include "records/register_report.hpp"
#include "report/json_text.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::section;
using report::html::text;

/// The way to each person of a report, whose days stand there.
std::string people_of(const records::RegisterReport& report, std::string_view more) {
    constexpr std::size_t most_listed = 200;  // own choice; everybody is found by the code
    std::string links;
    std::set<std::string> told;
    for (const records::PersonAnswer& person : report.totals.people) {
        if (!told.insert(person.as).second || told.size() > most_listed) continue;
        links += link(fmt::format("/register/person?as={}{}", serving::in_address(person.as), more),
                      person.as, "act") +
                 "\n";
    }
    if (links.empty()) return "";
    links = element("p", "acts", "\n" + links);
    if (told.size() > most_listed)
        links += element("p", "And others, who are found by their codes: " +
                                  link("/register", "the register") + ".");
    return section("people", 2, "Day by day", links);
}

std::string months_beside(const MonthAsked& month) {
    constexpr int one_day = 1;
    const std::string before = month_of(month.first + -one_day).name();
    const std::string after = month_of(month.last + one_day).name();
    return element("p", "acts",
                   "\n" + link("/register/staff?month=" + before, before, "act") + "\n" +
                       link("/register/staff?month=" + after, after, "act") + "\n");
}

/// Leaves the rows of a table whose cell begins so.
void keep_rows(report::Table& table, std::size_t cell, const std::string& begins) {
    std::erase_if(table.rows, [&](const report::Row& row) {
        return row.cells.size() > cell && !row.cells[cell].words.starts_with(begins);
    });
}

/// Months of the sessions of a report; a list of all that is long is read by the month.
std::string session_months(const records::RegisterReport& report, const std::string& shown) {
    std::set<std::string> months;
    for (const records::SessionAnswer& one : report.sessions)
        months.insert(rfc3339(one.begins).substr(0, 7));
    std::string items;
    for (const std::string& month : months)
        items +=
            fmt::format("<li><a href=\"/register/study?title={}&amp;month={}\"{}>{}</a></li>\n",
                        serving::in_address(report.title), month,
                        month == shown ? " aria-current=\"page\"" : "", month);
    return "<nav aria-label=\"Months\" class=\"months\">\n<ul>\n" + items + "</ul>\n</nav>\n";
}

void link_sessions(const records::RegisterReport& report, report::Document& document) {
    report::Table* table = table_in("sessions", document);
    for (std::size_t n = 0; table && n < table->rows.size() && n < report.sessions.size(); ++n) {
        const auto& one = report.sessions[n];
        table->rows[n].cells.front().link =
            fmt::format("/register/session/{}?as={}", one.session, serving::in_address(one.as));
    }
}

/// A study's report, with its sessions and close days of one month where all would be too much.
std::string study_part(const records::RegisterReport& report, const std::string& month) {
    report::Document document = records::report_document(report, /*detail=*/true);
    leave_out("person-", document);
    link_sessions(report, document);
    std::string part = month.empty() ? part_of_page(document) : std::string();
    if (month.empty() && part.size() <= most_of_a_part) return part;
    const std::string shown = month.empty() && !report.sessions.empty()
                                  ? rfc3339(report.sessions.back().begins).substr(0, 7)
                                  : month;
    constexpr std::size_t cell_of_begin = 2, cell_of_day = 1;
    if (auto* sessions = table_in("sessions", document)) keep_rows(*sessions, cell_of_begin, shown);
    if (auto* close = table_in("close", document)) keep_rows(*close, cell_of_day, shown);
    return element("p", text(fmt::format("Sessions and days that were close or over are listed by "
                                         "the month, here {}.",
                                         shown))) +
           session_months(report, shown) + part_of_page(std::move(document));
}

// --- files --------------------------------------------------------------------------------------

/// What can be kept as a file.
enum class KeptFile { Totals, Person, Study, Staff, Export };

struct KeptFileRow {
    KeptFile key;
    std::string_view name;
    bool has_table = false;
};
constexpr auto kept_file_rows = rows_of<KeptFileRow>({{KeptFile::Totals, "totals", true},
                                                      {KeptFile::Person, "person"},
                                                      {KeptFile::Study, "study"},
                                                      {KeptFile::Staff, "staff"},
                                                      {KeptFile::Export, "export"}});

struct FileAsked {
    KeptFile of = KeptFile::Totals;
    std::string format;  ///< "csv", "json", "html"
    records::TotalsWanted wanted = {};
    std::string title = {};
    std::optional<MonthAsked> month = std::nullopt;
};

std::optional<sessions::LocalDay> day_in_query(const Asked& asked, const char* name) {
    const auto words = asked.query.filled(name);
    if (!words) return std::nullopt;
    const auto day = sessions::day_named(*words);
    if (!day) {
        throw InputError(
            {name}, fmt::format("\"{}\" is no day; accepted: a day such as 2026-11-29", *words));
    }
    return day;
}

FileAsked file_asked(const Asked& asked) {
    const auto of = kept_file_rows.parse(asked.query.get("of"));
    FileAsked file{.of = of.value_or(KeptFile::Totals), .format = asked.query.get("format")};
    const bool is_table = file.format == "csv" && of && kept_file_rows[file.of].has_table;
    if (!of || (file.format != "json" && file.format != "html" && !is_table)) {
        throw InputError({"format"},
                         "is none of these; accepted: what the pages of the register "
                         "lead to");
    }
    file.wanted = {.as = asked.query.filled("as"),
                   .from = day_in_query(asked, "from"),
                   .to = day_in_query(asked, "to"),
                   .now = now()};
    file.title = asked.query.get("title");
    if (file.of == KeptFile::Staff) file.month = month_named(asked.query.get("month"));
    return file;
}

/// The same as words of the command line.
std::vector<std::string> words_of_file(const FileAsked& file, const std::string& in_register) {
    std::vector<std::string> words = {"register"};
    const auto add = [&](const std::string& option, const std::optional<std::string>& value) {
        if (value) words.push_back(fmt::format("--{}={}", option, *value));
    };
    const auto date = [](const std::optional<sessions::LocalDay>& day) {
        return day ? std::optional(sessions::iso_date(*day)) : std::nullopt;
    };
    words.emplace_back(file.of == KeptFile::Totals   ? "totals"
                       : file.of == KeptFile::Export ? "export"
                                                     : "report");
    words.push_back(in_register);
    add("as", file.wanted.as);
    add("from", date(file.wanted.from));
    add("to", date(file.wanted.to));
    if (file.of == KeptFile::Study) add("study", file.title);
    if (file.month) add("staff-month", file.month->name());
    return words;
}

records::RegisterReport report_in_file(const FileAsked& file, const OfRegister& opened) {
    if (file.of == KeptFile::Study)
        return records::report_on_study(opened.from, opened.calendar, file.title, now(),
                                        record_of_today());
    if (file.of == KeptFile::Staff)
        return records::report_on_staff(opened.from, opened.calendar, file.month->first, now(),
                                        record_of_today());
    return records::report_on_person(opened.from, opened.calendar, file.wanted, record_of_today());
}

std::string content_of_file(const FileAsked& file, const OfRegister& opened) {
    constexpr bool detail = true;
    const bool is_page = file.format == "html";
    if (file.of == KeptFile::Export) {
        const records::CopyReport copy{records::file_of(opened.from), record_of_today(),
                                       opened.from.copy_of(file.wanted.as.value_or(""))};
        return is_page ? report::as_page(records::copy_document(copy, detail))
                       : records::copy_json(copy);
    }
    if (file.of == KeptFile::Totals) {
        const auto totals =
            records::totals_of(opened.from, opened.calendar, file.wanted, record_of_today());
        if (is_page) return report::as_page(records::totals_document(totals, detail));
        const std::string json = records::totals_json(totals);
        return file.format == "csv" ? records::totals_csv(json) : json;
    }
    const auto report = report_in_file(file, opened);
    return is_page ? report::as_page(records::report_document(report, detail))
                   : records::report_json(report);
}

}  // namespace

Reply register_staff(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const OfRegister opened = open_register(desk);
    const auto named = asked.query.filled("month");
    const MonthAsked month = named ? month_named(*named) : month_of(opened.calendar.day_of(now()));
    const auto report = records::report_on_staff(opened.from, opened.calendar, month.first, now(),
                                                 record_of_today());
    report::Document document = records::report_document(report, /*detail=*/true);
    leave_out("person-", document);
    const std::string main =
        months_beside(month) + part_of_page(std::move(document)) +
        people_of(report, "&month=" + month.name()) +
        section("take", 2, "To be kept",
                download_links("staff", {{"month", month.name()}}, {"json", "html"}));
    return framed(asked, {.here = "/register", .title = "Staff, " + month.name(), .main = main});
}

Reply register_study(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    std::string title = asked.query.get("title");
    if (title.empty()) title = asked.query.filled("other").value_or("");
    const OfRegister opened = open_register(desk);
    if (opened.is_long()) {
        return answer_later(
            desk, {.title = "A study's report",
                   .arguments = {"register", "report", *desk.in_register, "--study=" + title},
                   .format = "html"});
    }
    const auto report =
        records::report_on_study(opened.from, opened.calendar, title, now(), record_of_today());
    const auto month = asked.query.filled("month");
    const std::string main = study_part(report, month ? month_named(*month).name() : "") +
                             people_of(report, "") +
                             section("take", 2, "To be kept, with every day of everybody",
                                     download_links("study", {{"title", title}}, {"json", "html"}));
    return framed(asked, {.here = "/register", .title = title, .main = main});
}

Reply register_download(const Opened& desk, const Asked& asked, const Parts& /*parts*/) {
    if (!desk.in_register) return without_register(asked);
    const FileAsked file = file_asked(asked);
    const OfRegister opened = open_register(desk);
    const std::string name = fmt::format("register-{}-{}.{}", kept_file_rows[file.of].name,
                                         record_of_today().date, file.format);
    if (opened.is_long() && !file.wanted.as) {
        return answer_later(desk, {.title = "Totals and reports of a long register",
                                   .arguments = words_of_file(file, *desk.in_register),
                                   .format = file.format,
                                   .file = name});
    }
    try {
        const std::string type = file.format == "csv"    ? "text/csv; charset=utf-8"
                                 : file.format == "json" ? "application/json"
                                                         : "text/html; charset=utf-8";
        return Reply::download(content_of_file(file, opened), type, name);
    } catch (const report::ReportTooLarge&) {
        return refused(asked, 422, "More than a report can hold",
                       {"Accepted: fewer days, or one person."});
    }
}

}  // namespace earbudget::desk
