#include "report/assess_page.hpp"

#include <fmt/format.h>

#include "earbudget/computing/for_each_at_once.hpp"
#include "report/assess_sentences.hpp"
#include "report/assess_words.hpp"
#include "report/html/assess_person.hpp"
#include "report/html/charts.hpp"
#include "report/html/compare_section.hpp"
#include "report/html/markup.hpp"
#include "report/html/page.hpp"
#include "report/html/parts.hpp"
#include "report/people_words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using namespace html;

std::string first_letter_large(std::string words) {
    if (!words.empty() && words.front() >= 'a' && words.front() <= 'z')
        words.front() = static_cast<char>(words.front() - 'a' + 'A');
    return words;
}

std::string verdict_section(const Assessment& assessment) {
    std::string answers;
    for (const Verdict verdict :
         {Verdict::Over, Verdict::Unknown, Verdict::Close, Verdict::Within}) {
        const std::string ids = ids_with(assessment, verdict);
        if (!ids.empty()) answers += answer(verdict, first_letter_large(words_of(verdict)), ids);
    }
    const std::string metal = metal_headline(assessment);
    std::string content =
        (metal.empty() ? "" : element("p", "<strong>" + text(metal) + "</strong>")) +
        element("ul", "answers", "\n" + answers) + marks_key(verdict_marks) + short_cautions();
    const std::size_t warnings = said_once(assessment.warnings).size();
    if (warnings > 0) {
        content += fmt::format("<p><a href=\"#warnings\">With {} warning{}, below.</a></p>\n",
                               warnings, warnings == 1 ? "" : "s");
    }
    return section("verdict", 2, "Verdict",
                   element("div", "verdict",
                           "\n" + element("div", "\n" + content) +
                               element("div", "\n" + margin_figure("margins", assessment))));
}

std::string warnings_section(const Assessment& assessment) {
    if (assessment.warnings.empty()) return "";
    std::vector<std::string> sentences;
    for (const Warning& warning : said_once(assessment.warnings))
        sentences.push_back(
            fmt::format("{} ({})", warning_words(warning, assessment.people.size()), warning.code));
    return section("warnings", 2, "Warnings", list_of(sentences));
}

}  // namespace

std::string assess_page(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const std::optional<Earlier>& earlier) {
    const PageHead head{"assess", "Sound at the ear over a planned session, against its limits",
                        assessment.plan->title, plan_file.path, record.date};
    Contents contents = {{"verdict", "Verdict"}};
    std::string main = verdict_section(assessment);
    if (earlier) {
        contents.emplace_back("compared", "What changed");
        main += compare_section(*earlier);
    }
    const auto groups = people_together(assessment.people);
    std::vector<std::size_t> places(groups.size());
    for (std::size_t n = 0; n < places.size(); ++n) {
        places[n] = n;
        contents.emplace_back(fmt::format("person-{}", n + 1),
                              name_of_group(ids_of_group(assessment.people, groups[n])));
    }
    const auto sections = for_each_at_once(places, [&](std::size_t n) {
        const PersonResult& person = assessment.people[groups[n].front()];
        const auto ids = ids_of_group(assessment.people, groups[n]);
        return person_section(fmt::format("person-{}", n + 1), *assessment.plan, person, ids, head,
                              asked_working(record, ids, person.working));
    });
    for (const std::string& one : sections)
        main += one;
    if (!assessment.warnings.empty()) contents.emplace_back("warnings", "Warnings");
    contents.emplace_back("record", "Sources and record");
    contents.emplace_back("cautions", "Cautions");
    main += warnings_section(assessment);
    main += section("criteria", 2, "Criteria", list_of(criteria_sentences(assessment)));
    main += record_section(record, rules_of(assessment)) + cautions_section();
    return page(head, contents, main, foot(record));
}

}  // namespace earbudget::report
