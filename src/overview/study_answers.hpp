#pragma once

#include <string>
#include <utility>
#include <vector>

#include "earbudget/advice/assess_study.hpp"
#include "earbudget/advice/study_advice.hpp"
#include "earbudget/choice/work_size.hpp"
#include "overview/plan_answers.hpp"
#include "report/document.hpp"
#include "report/record.hpp"
#include "report/reports.hpp"

namespace earbudget::overview {

/// All that is told of a study of visits.
struct StudyReport {
    const StudyAssessment* assessment;
    report::SourceFile file;
    std::vector<report::SourceFile> plans;  ///< of each visit
    /// Of all visits, each with its index.
    std::vector<std::pair<std::size_t, Warning>> warnings = {};
    report::Record record = {};
    /// What to hand out and to do, for what is read; null where it would be too much to look for.
    const StudyAdvice* advice = nullptr;

    [[nodiscard]] const Study& study() const { return *assessment->study; }
    [[nodiscard]] report::RulesUsed rules() const;
};

/// What is warned of at each visit; not that a weekly average is not used, which a study works out
/// by itself.
[[nodiscard]] std::vector<std::pair<std::size_t, Warning>> warnings_of(
    const StudyAssessment& assessment);

/// Adds what is not there yet.
void add_rules(const report::RulesUsed& more, report::RulesUsed& rules);

/// Of `assess` for a study: every visit, and every week that is judged.
[[nodiscard]] WorkSize size_of_study(const Study& study);

/// Of what to hand out and to do at each visit besides.
[[nodiscard]] WorkSize size_of_study_advice(const Study& study);

/// A study in one line, as plans have it.
[[nodiscard]] PlanAnswer answer_to(const StudyAssessment& assessment, report::SourceFile file);

/// As JSON, one object, with a line break at its end.
[[nodiscard]] std::string study_json(const StudyReport& report);

/// As a table for spreadsheets: a row a person and limit, of each visit's day, then of weeks.
[[nodiscard]] std::string study_csv(const StudyReport& report);

/// To be read: of each person verdict, tightest limit, what to hand out and to do, as short as the
/// answer to a plan; then the worst visit, the heaviest week, what all visits come to, advice and
/// every limit, warnings and the record. Points into the report.
[[nodiscard]] report::Document study_document(const StudyReport& report,
                                              const report::Telling& telling = {});

}  // namespace earbudget::overview
