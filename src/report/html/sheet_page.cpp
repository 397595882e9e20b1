#include "report/sheet_page.hpp"

#include <fmt/format.h>

#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/sheet_parts.hpp"
#include "report/version.hpp"

namespace earbudget::report {

namespace {

using namespace html;

// What one sheet of A4 or Letter holds in large letters.
constexpr std::size_t rows_in_large = 12;

std::string check_line(const Record& record) {
    return element(
        "p", "check",
        fmt::format("Fingerprint of all files read: <strong class=\"hash\">{}</strong>. Void once "
                    "the plan, a card or the catalogue changes: the assessment's record then has "
                    "another fingerprint.",
                    fingerprint_in_fours(record)));
}

std::string foot_of(const Record& record) {
    return element("p", "soft",
                   fmt::format("Supports and does not replace a competent person's judgement; "
                               "local law and the facility's rules come first. Made by earbudget "
                               "{}. Whole fingerprint: <span class=\"hash\">{}</span>",
                               program_version(), record.fingerprint));
}

}  // namespace

std::string sheet_page(const Assessment& assessment, const HandOuts& outs,
                       const SourceFile& plan_file, const std::optional<Contact>& contact,
                       const Record& record) {
    const Plan& plan = *assessment.plan;
    const PageHead head{"assess --sheet", "At the scanner", shortened(plan.title, 100),
                        shortened(plan_file.path, 100), record.date};
    const auto people = worst_first(assessment, outs);
    const std::string main = first_part(plan, people, contact) + check_line(record) +
                             metal_part(plan, people) + people_part(plan, people) +
                             stop_part(contact) + seating_part(plan, people) +
                             runs_part(plan, people) + writing_part(people);
    const bool large = people.size() + plan.timeline.size() <= rows_in_large;
    return page(head, {}, main, foot_of(record), large ? "sheet" : "sheet small");
}

}  // namespace earbudget::report
