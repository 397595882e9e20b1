#include "overview/study_answers.hpp"

#include <algorithm>

#include "earbudget/computing/add_once.hpp"
#include "report/sentences.hpp"

namespace earbudget::overview {

report::RulesUsed StudyReport::rules() const {
    report::RulesUsed all;
    for (const Assessment& visit : assessment->visits)
        add_rules(report::rules_of(visit), all);
    return all;
}

std::vector<std::pair<std::size_t, Warning>> warnings_of(const StudyAssessment& assessment) {
    std::vector<std::pair<std::size_t, Warning>> all;
    for (std::size_t visit = 0; visit < assessment.visits.size(); ++visit) {
        for (const Warning& warning : assessment.visits[visit].warnings) {
            if (warning.says == say<WarningPhrase::WeeklyAverageNotUsed>()) continue;
            all.emplace_back(visit, warning);
        }
    }
    return all;
}

void add_rules(const report::RulesUsed& more, report::RulesUsed& rules) {
    const auto add = [](const auto& some, auto& all) {
        for (const report::NamedSource& source : some)
            add_once(source, all);
    };
    add(more.methods, rules.methods);
    add(more.deratings, rules.deratings);
    add(more.criteria, rules.criteria);
}

WorkSize size_of_study(const Study& study) {
    const auto weeks = static_cast<double>(heaviest_weeks(study).size());
    WorkSize all;
    double most = 0.0;
    for (const Visit& visit : study.visits) {
        const WorkSize one = size_of_verdicts(visit.plan);
        if (one.seconds >= most) all.factors = one.factors;
        most = std::max(most, one.seconds);
        all.seconds += (1.0 + weeks) * one.seconds;
        all.bytes += one.bytes;
        all.report += 5.0 * one.report;  // every limit is told
    }
    return all;
}

WorkSize size_of_study_advice(const Study& study) {
    WorkSize all = size_of_study(study);
    all.report = 0.0;
    for (const Visit& visit : study.visits) {
        const WorkSize one = size_of_sheet(visit.plan);
        all.seconds += one.seconds;
        all.bytes += one.bytes;
    }
    return all;
}

PlanAnswer answer_to(const StudyAssessment& assessment, report::SourceFile file) {
    PlanAnswer answer{.file = std::move(file),
                      .title = assessment.study->title,
                      .kind = "study",
                      .verdict = assessment.verdict()};
    for (const Assessment& visit : assessment.visits)
        if (answer.metal.empty()) answer.metal = report::metal_headline(visit);
    for (const PersonOfStudy& person : assessment.people) {
        const CriterionResult* tightest = person.tightest();
        answer.people.push_back({person.id, person.visits.front().day->person->role, person.verdict,
                                 tightest ? std::optional(in_short(*tightest)) : std::nullopt});
    }
    return answer;
}

}  // namespace earbudget::overview
