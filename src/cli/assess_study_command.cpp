#include <optional>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "files/visits_file.hpp"
#include "overview/study_answers.hpp"

namespace earbudget::cli {

namespace {

/// Of visits there is neither a sheet nor a comparison nor a working.
void check_study(const AssessOptions& options) {
    const char* const of_plans = option_of_one_plan(options);
    if (!of_plans) return;
    throw UsageProblem(
        fmt::format("earbudget assess: {} is of one plan, and \"{}\" is a study of visits; "
                    "accepted: {} with the plan of one visit",
                    of_plans, options.paths.front(), of_plans));
}

std::vector<report::SourceFile> plans_of(const files::LoadedStudy& loaded,
                                         const files::TextInputs& inputs) {
    std::vector<report::SourceFile> plans;
    for (const std::string& plan : loaded.plans)
        plans.push_back({plan, inputs.sha256(plan)});
    return plans;
}

}  // namespace

ExitStatus run_assess_study(const AssessOptions& options, files::TextInputs& inputs) {
    check_study(options);
    const std::string& path = options.paths.front();
    files::LoadedStudy loaded = files::read_study(path, inputs);
    for (Visit& visit : loaded.study.visits)
        settle_plan(visit.plan, options.output);
    check_output_is_no_input(options.output, {loaded.files, loaded.folders});
    report::Record record = record_of(options.output, loaded.files, inputs);
    record.examples = loaded.examples;
    record.draws = loaded.study.visits.front().plan.draws;
    StudyAssessment assessment{.study = &loaded.study};
    const WorkSize of_advice = overview::size_of_study_advice(loaded.study);
    const bool advised = is_read(options.output) && can_be_looked_for(of_advice);
    WorkSize size = overview::size_of_study(loaded.study);
    if (advised) size = together(size, of_advice);
    std::optional<StudyAdvice> advice;
    const std::string text = watched(
        size, path, [] { return "for example fewer visits that differ, or fewer people"; },
        [&] {
            assessment = assess(loaded.study);
            if (advised) advice = advise(loaded.study);
            const overview::StudyReport report{&assessment,
                                               {path, inputs.sha256(path)},
                                               plans_of(loaded, inputs),
                                               overview::warnings_of(assessment),
                                               record,
                                               advice ? &*advice : nullptr};
            if (options.output.format == "csv") return overview::study_csv(report);
            return in_format(
                options.output, [&] { return overview::study_json(report); },
                [&] { return overview::study_document(report, telling(options.output)); });
        });
    deliver(text, options.output);
    return status_of(assessment.verdict());
}

}  // namespace earbudget::cli
