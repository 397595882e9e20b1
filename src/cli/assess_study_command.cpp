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

}  // namespace

ExitStatus run_assess_study(const AssessOptions& options, files::TextInputs& inputs) {
    check_study(options);
    const std::string& path = options.paths.front();
    answers::AssessedStudy now(path, when_of(options.output), inputs);
    check_output_is_no_input(options.output, {now.loaded.files, now.loaded.folders});
    report::Record record = now.record(inputs);
    record.with_working = options.output.working;
    const WorkSize of_advice = overview::size_of_study_advice(now.loaded.study);
    const bool advised = is_read(options.output) && can_be_looked_for(of_advice);
    WorkSize size = overview::size_of_study(now.loaded.study);
    if (advised) size = together(size, of_advice);
    const std::string text = watched(
        size, path, [] { return "for example fewer visits that differ, or fewer people"; },
        [&] {
            now.assess();
            if (advised) now.advise();
            const overview::StudyReport report = now.report(record);
            if (options.output.format == "csv") return overview::study_csv(report);
            return in_format(
                options.output, [&] { return overview::study_json(report); },
                [&] { return overview::study_document(report, telling(options.output)); });
        });
    deliver(text, options.output);
    return status_of(now.assessment.verdict());
}

}  // namespace earbudget::cli
