#include <optional>
#include <string>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "cli/messages.hpp"
#include "cli/record_of.hpp"
#include "cli/watched_work.hpp"
#include "cli/working_for.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/compare.hpp"
#include "earbudget/advice/hand_out.hpp"
#include "earbudget/advice/less_work.hpp"
#include "files/study_files.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"
#include "report/words/words.hpp"

namespace earbudget::cli {

namespace {

/// A plan with its assessment, once it is made, which points into it.
struct Assessed {
    Assessed(const std::string& path, std::uint64_t seed, files::TextInputs& inputs)
        : loaded(files::read_plan(path, inputs)), file{path, inputs.sha256(path)} {
        loaded.plan.draws.seed = seed;
    }
    Assessed(const Assessed&) = delete;
    Assessed& operator=(const Assessed&) = delete;

    void assess(Tracing tracing, bool with_courses) {
        assessment = earbudget::assess(loaded.plan, tracing, with_courses);
        for (const ReadingNote& note : loaded.notes)
            assessment.warnings.push_back(
                {earbudget::say<WarningPhrase::DurationAsMinutes>(note.text), note.where});
    }

    files::LoadedPlan loaded;
    report::SourceFile file;
    Assessment assessment = {};
};

std::string report_of(const AssessOptions& options, const Assessed& now,
                      const report::Record& record, const std::optional<report::Earlier>& earlier) {
    const std::string& format = options.output.format;
    if (format == "json") return report::assess_json(now.assessment, now.file, record, earlier);
    if (options.sheet) {
        const HandOuts outs = hand_out(now.assessment);
        return report::as_page(
            report::sheet_document(now.assessment, outs, now.file, now.loaded.contact, record));
    }
    return rendered(report::assess_document(now.assessment, now.file, record, earlier),
                    options.output);
}

WorkSize size_of(bool sheet, const Plan& now, const Plan* before, const ReportAsked& asked) {
    if (sheet) return size_of_sheet(now);
    const WorkSize size = size_of_assess(now, asked);
    if (!before) return size;
    WorkSize both = together(size, size_of_assess(*before));
    both.report = size.report;  // of the earlier one the report has verdicts alone
    return both;
}

/// What of too large plans would do.
std::string less_of(const AssessOptions& options, const AskedOfPlans& asked) {
    const auto size = [&](const AskedOfPlans& of) {
        return size_of(options.sheet, of.plans.front(),
                       of.plans.size() > 1 ? &of.plans.back() : nullptr, of.asked);
    };
    return text_of(said_of_less(less_work(asked, size, most_report())));
}

}  // namespace

ExitStatus run_assess(const AssessOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    Assessed now(options.plan, options.output.seed_of_draws(), inputs);
    check_output_is_no_input(options.output, {now.loaded.files, now.loaded.folders});
    report::Record record{.date = report_date(options.output), .inputs = {}};
    record.with_working = options.output.working;
    record.draws = now.loaded.plan.draws;
    record.working_for = working_for("assess", options.output, now.loaded.plan);
    add_inputs(record, now.loaded.files, inputs);
    std::optional<Assessed> before;
    if (options.against) {
        before.emplace(*options.against, options.output.seed_of_draws(), inputs);
        check_output_is_no_input(options.output, {before->loaded.files, before->loaded.folders});
        add_inputs(record, before->loaded.files, inputs);
    }
    const Plan* const earlier_plan = before ? &before->loaded.plan : nullptr;
    const ReportAsked asked = report_asked(options.output);
    const WorkSize size = size_of(options.sheet, now.loaded.plan, earlier_plan, asked);
    const auto less = [&] {
        AskedOfPlans all{{now.loaded.plan}, asked};
        if (earlier_plan) all.plans.push_back(*earlier_plan);
        return less_of(options, all);
    };
    const std::string report = watched(size, options.plan, less, [&] {
        std::optional<report::Earlier> earlier;
        now.assess(options.sheet ? Tracing::Off : tracing(options.output),
                   options.output.format != "text" || options.sheet);
        if (before) {
            before->assess(Tracing::Off, false);
            earlier = report::Earlier{compare(before->assessment, now.assessment), before->file};
        }
        return report_of(options, now, record, earlier);
    });
    deliver(report, options.output);
    const Verdict verdict = now.assessment.verdict();
    return verdict == Verdict::Over || verdict == Verdict::Unknown ? over_or_unknown : computed;
}

}  // namespace earbudget::cli
