#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "desk/frame.hpp"
#include "desk/jobs.hpp"
#include "desk/register_pages.hpp"
#include "desk/studies.hpp"
#include "earbudget/study/input_error.hpp"
#include "records/entry_words.hpp"
#include "records/register_file.hpp"

namespace earbudget::desk {

namespace {

using report::html::element;
using report::html::text;

}  // namespace

OfRegister open_register(const Opened& desk, registers::Access access) {
    auto from = registers::Register::open(*desk.in_register, access);
    auto calendar = records::calendar_of(from);
    const std::int64_t newest = from.head().n;
    return {std::move(from), std::move(calendar), newest};
}

Reply without_register(const Asked& asked) {
    const std::string main =
        element("p",
                "The desk was opened without a register, so that nothing that runs is recorded.") +
        element("p",
                "A register is one file that keeps what ran, session by session, by codes of "
                "people. It is made once, on the command line, and the desk is then started with "
                "it:") +
        element("pre",
                "earbudget register create unit.register --time-zone Europe/Berlin\n"
                "earbudget desk FOLDER --register unit.register") +
        element("p",
                "The time zone is the site's, by which days are counted. It cannot be changed "
                "later, and no register is ever made over one that is there.");
    return framed(asked, {.here = "/register", .title = "Register", .main = main});
}

report::Record record_of_today() { return {.date = today_here().date, .inputs = {}}; }

void leave_out(std::string_view id_begins, report::Document& document) {
    std::erase_if(document.sections, [&](const report::Section& section) {
        return section.id.starts_with(id_begins);
    });
}

std::string part_of_page(report::Document document) {
    leave_out("cautions", document);
    leave_out("law", document);
    for (report::Section& section : document.sections) {
        if (section.id != "record") continue;
        section.blocks = report::list_of<report::Block>(
            report::Block{report::Folded{section.heading, std::move(section.blocks)}});
        section.heading.clear();
    }
    return report::as_fragment(document);
}

std::string beside(const std::vector<std::string>& sections) {
    return element("div", "beside", fmt::format("\n{}", fmt::join(sections, "")));
}

report::Table* table_in(std::string_view section, report::Document& document) {
    const auto found = std::ranges::find(document.sections, section, &report::Section::id);
    if (found == document.sections.end()) return nullptr;
    for (report::Block& block : found->blocks)
        if (auto* table = std::get_if<report::Table>(&block.is)) return table;
    return nullptr;
}

std::string teller_field(const Asked& asked, std::string_view name) {
    if (asked.by_is_settled) return "";
    return field({.name = name,
                  .label = "Your own code",
                  .value = asked.by,
                  .hint = "who tells it; no name",
                  .attributes = "maxlength=\"60\" autocomplete=\"off\""});
}

std::optional<std::string> told_by(const Asked& asked, std::string_view name) {
    if (!asked.by_is_settled)
        if (auto told = asked.form.filled(name)) return told;
    return asked.by.empty() ? std::nullopt : std::optional(asked.by);
}

MonthAsked month_of(sessions::LocalDay day) {
    constexpr int beyond_any_month = 31;
    const sessions::LocalDay first = sessions::first_of_month(day);
    return {first, sessions::first_of_month(first + beyond_any_month) + -1};
}

MonthAsked month_named(const std::string& name) {
    constexpr std::size_t digits = 7;
    const auto day = name.size() == digits ? sessions::day_named(name + "-01") : std::nullopt;
    if (!day) {
        throw InputError({"month"}, fmt::format("\"{}\" is no month; accepted: year and month, "
                                                "such as 2026-11",
                                                name));
    }
    return month_of(*day);
}

std::string download_links(const std::string& of,
                           const std::vector<std::pair<std::string, std::string>>& fields,
                           const std::vector<std::string>& formats) {
    std::string address = "/register/download?of=" + of;
    for (const auto& [name, value] : fields)
        address += fmt::format("&{}={}", name, serving::in_address(value));
    std::string links;
    for (const std::string& format : formats) {
        const std::string words = format == "csv"    ? "Table (CSV)"
                                  : format == "json" ? "JSON"
                                                     : "Page";
        links += link(fmt::format("{}&format={}", address, format), words, "act") + "\n";
    }
    return element("p", "acts", "\n" + links);
}

Reply answer_later(const Opened& desk, LongAnswer asked) {
    asked.arguments.insert(asked.arguments.end(), {"--format", asked.format});
    constexpr std::size_t any_size = std::size_t{1} << 40U;  // a register may be brought up to date
    ChildLimits limits;
    limits.longest = std::chrono::hours(1);
    limits.written_file_bytes = any_size;
    const std::string name =
        desk.jobs->start(desk, {.kind = "register",
                                .title = std::move(asked.title),
                                .arguments = std::move(asked.arguments),
                                .kept = {{"format", asked.format},
                                         {"embedded", asked.embedded ? "yes" : ""},
                                         {"file", asked.file}},
                                .limits = limits});
    return Reply::see("/register/job/" + name);
}

std::vector<std::string> said_of_done(const Asked& asked, const OfRegister& opened) {
    const std::string& number = asked.query.get("done");
    std::int64_t n = 0;
    std::from_chars(number.data(), number.data() + number.size(), n);
    if (n <= 0) return {};
    sessions::RecordCache cache;
    for (const registers::Entry& entry : opened.from.history(n)) {
        if (entry.n != n) continue;
        const std::string words = records::words_of_entry(entry, cache);
        return {fmt::format("Recorded as entry {}: {}{}{}{}", n,
                            registers::entry_kinds[entry.kind].name, words.empty() ? "" : " ",
                            words, entry.by ? ", told by " + *entry.by : "")};
    }
    return {};
}

}  // namespace earbudget::desk
