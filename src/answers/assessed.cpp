#include "answers/assessed.hpp"

#include "answers/record_of.hpp"
#include "report/json_text.hpp"
#include "report/words/words.hpp"

namespace earbudget::answers {

void settle(Plan& plan, const When& when) {
    plan.draws.seed = when.seed;
    plan.date = when.date;
}

bool can_be_looked_for(const WorkSize& size) {
    constexpr double part = 0.25;
    return part_of_accepted(size, static_cast<double>(report::largest_report)) <= part;
}

AssessedPlan::AssessedPlan(const std::string& path, const When& when, files::TextInputs& inputs)
    : loaded(files::read_plan(path, inputs)), file{path, inputs.sha256(path)}, date(when.date) {
    settle(loaded.plan, when);
}

void AssessedPlan::assess(Tracing tracing, bool with_courses) {
    assessment = earbudget::assess(loaded.plan, tracing, with_courses);
    for (const ReadingNote& note : loaded.notes)
        assessment.warnings.push_back(
            {earbudget::say<WarningPhrase::DurationAsMinutes>(note.text), note.where});
}

const HandOuts& AssessedPlan::hand_outs() {
    if (!outs_) outs_ = hand_out(assessment);
    return *outs_;
}

report::Record AssessedPlan::record(const files::TextInputs& inputs) const {
    report::Record record = record_of(date, loaded.files, inputs);
    record.draws = loaded.plan.draws;
    record.examples = loaded.examples;
    return record;
}

AssessedStudy::AssessedStudy(const std::string& path, const When& when, files::TextInputs& inputs)
    : loaded(files::read_study(path, inputs)), file{path, inputs.sha256(path)}, date(when.date) {
    for (Visit& visit : loaded.study.visits)
        settle(visit.plan, when);
    for (const std::string& plan : loaded.plans)
        plans.push_back({plan, inputs.sha256(plan)});
    assessment.study = &loaded.study;
}

void AssessedStudy::assess() { assessment = earbudget::assess(loaded.study); }

void AssessedStudy::advise() { advice = earbudget::advise(loaded.study); }

overview::StudyReport AssessedStudy::report(const report::Record& record) const {
    return {&assessment, file,
            plans,       overview::warnings_of(assessment),
            record,      advice ? &*advice : nullptr};
}

report::Record AssessedStudy::record(const files::TextInputs& inputs) const {
    report::Record record = record_of(date, loaded.files, inputs);
    record.examples = loaded.examples;
    record.draws = loaded.study.visits.front().plan.draws;
    return record;
}

}  // namespace earbudget::answers
