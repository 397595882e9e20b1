#include "report/sheet_page.hpp"

#include <fmt/format.h>

#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/sheet_parts.hpp"
#include "report/version.hpp"

namespace earbudget::report {

namespace {

using namespace html;

constexpr std::size_t hash_shown = 16;

// What one sheet of A4 or Letter holds in large letters.
constexpr std::size_t rows_in_large = 12;

/// "8d3e d4a2 f608 48be": read aloud and compared in fours.
std::string in_fours(std::string_view digits) {
    std::string words;
    for (std::size_t n = 0; n < digits.size(); n += 4)
        words += (n == 0 ? "" : " ") + std::string(digits.substr(n, 4));
    return words;
}

std::string check_line(const SourceFile& plan_file) {
    return element(
        "p", "check",
        fmt::format("The plan's SHA-256 begins <strong class=\"hash\">{}</strong>: where the "
                    "assessment, or <code>sha256sum</code> of the plan, says otherwise, this sheet "
                    "is void.",
                    in_fours(plan_file.sha256.substr(0, hash_shown))));
}

std::string foot_of(const SourceFile& plan_file) {
    return element("p", "soft",
                   fmt::format("Supports and does not replace a competent person's judgement; "
                               "local law and the facility's rules come first. Made by earbudget "
                               "{}; void once the plan changes. SHA-256 of the plan: <span "
                               "class=\"hash\">{}</span>",
                               program_version(), plan_file.sha256));
}

}  // namespace

std::string sheet_page(const Assessment& assessment, const HandOuts& outs,
                       const SourceFile& plan_file, const std::optional<Contact>& contact,
                       const Record& record) {
    const Plan& plan = *assessment.plan;
    const PageHead head{"assess --sheet", "At the scanner", shortened(plan.title, 100),
                        shortened(plan_file.path, 100), record.date};
    const auto people = worst_first(assessment, outs);
    const std::string main = check_line(plan_file) + metal_part(plan, people) +
                             people_part(plan, people) + stop_part(contact) +
                             seating_part(plan, people) + runs_part(plan, people) +
                             writing_part(people);
    const bool large = people.size() + plan.timeline.size() <= rows_in_large;
    return page(head, {}, main, foot_of(plan_file), large ? "sheet" : "sheet small");
}

}  // namespace earbudget::report
