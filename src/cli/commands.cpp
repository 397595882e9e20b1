#include "cli/commands.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include <fmt/format.h>

#include "cli/steps.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/advice/compare.hpp"
#include "earbudget/advice/hand_out.hpp"
#include "earbudget/choice/check_ratings.hpp"
#include "earbudget/choice/choose.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/study/card_age.hpp"
#include "files/study_files.hpp"
#include "files/visits_file.hpp"
#include "report/csv_table.hpp"
#include "report/document.hpp"
#include "report/reports.hpp"
#include "report/text_style.hpp"

namespace earbudget::cli {

namespace {

/// A plan as it was read, no output among its files.
files::LoadedPlan read_plan(const std::string& path, const OutputOptions& output,
                            files::TextInputs& inputs) {
    files::LoadedPlan loaded = files::read_plan(path, inputs);
    settle_plan(loaded.plan, output);
    check_output_is_no_input(output, {loaded.files, loaded.folders});
    return loaded;
}

/// What every report on a plan records.
report::Record record_of(const std::string& command, const OutputOptions& output,
                         const files::LoadedPlan& loaded, const files::TextInputs& inputs) {
    report::Record record = cli::record_of(output, loaded.files, inputs);
    record.draws = loaded.plan.draws;
    record.examples = loaded.examples;
    record.working_for = working_for(command, output, loaded.plan);
    return record;
}

/// A plan to be assessed, no output among its files.
void check_files(const answers::AssessedPlan& plan, const OutputOptions& output) {
    check_output_is_no_input(output, {plan.loaded.files, plan.loaded.folders});
}

std::string report_of(const AssessOptions& options, answers::AssessedPlan& now,
                      const report::Record& record, const std::optional<report::Earlier>& earlier) {
    if (options.sheet) {
        return report::as_page(report::sheet_document(now.assessment, now.hand_outs(), now.file,
                                                      now.loaded.contact, record));
    }
    return in_format(
        options.output,
        [&] { return report::assess_json(now.assessment, now.file, record, earlier); },
        [&] {
            report::Telling told = telling(options.output);
            // What is handed out is found for the plan's day alone.
            if (!options.in_register && can_be_looked_for(size_of_sheet(now.loaded.plan)))
                told.outs = &now.hand_outs();
            return report::assess_document(now.assessment, now.file, record, earlier, told);
        },
        report::assess_csv);
}

/// Of a plan, or of one and its earlier version.
WorkSize size_of(bool sheet, const AskedOfPlans& of) {
    if (sheet) return size_of_sheet(of.plans.front());
    const WorkSize size = size_of_assess(of.plans.front(), of.asked);
    if (of.plans.size() == 1) return size;
    WorkSize both = together(size, size_of_assess(of.plans.back()));
    both.report = size.report;  // of the earlier one the report has verdicts alone
    return both;
}

/// What the plan has worn must also suit: where it does not, and nothing else does, nobody may
/// start. What else there is, is found for the plan's day alone, as for the report.
ExitStatus status_of_plan(const AssessOptions& options, answers::AssessedPlan& now) {
    const ExitStatus by_verdict = status_of(now.assessment.verdict());
    const bool is_asked = by_verdict == computed && !options.in_register &&
                          has_what_does_not_suit(now.loaded.plan) &&
                          can_be_looked_for(size_of_sheet(now.loaded.plan));
    return is_asked && leaves_somebody_without(now.hand_outs()) ? over_or_unknown : by_verdict;
}

}  // namespace

ExitStatus run_assess(const AssessOptions& options) {
    if (asks_for_many(options)) return run_assess_many(options);
    const std::string& path = options.paths.front();
    check_output(options.output);
    files::TextInputs inputs;
    if (files::is_study(path, inputs)) return run_assess_study(options, inputs);
    answers::AssessedPlan now(path, when_of(options.output), inputs);
    check_files(now, options.output);
    report::Record record = record_of("assess", options.output, now.loaded, inputs);
    AskedOfPlans asked{{now.loaded.plan}, report_asked(options.output)};
    std::optional<answers::AssessedPlan> before;
    if (options.against) {
        before.emplace(*options.against, when_of(options.output), inputs);
        check_files(*before, options.output);
        add_inputs(record, before->loaded.files, inputs);
        for (const std::string& file : before->loaded.examples)
            add_once(file, record.examples);
        asked.plans.push_back(before->loaded.plan);
    }
    const SizeOf<AskedOfPlans> size = [&](const AskedOfPlans& of) {
        return size_of(options.sheet, of);
    };
    std::vector<sessions::AssessedFromHeard> heard;
    const std::string report = watched(asked, size, path, [&] {
        std::optional<report::Earlier> earlier;
        now.assess(options.sheet ? Tracing::Off : tracing(options.output),
                   options.output.format != "text" || options.sheet);
        heard = start_from_heard(options, now.loaded, inputs, now.assessment, record);
        if (before) {
            before->assess(Tracing::Off, false);
            earlier = report::Earlier{compare(before->assessment, now.assessment), before->file};
        }
        return report_of(options, now, record, earlier);
    });
    const ExitStatus status = status_of_plan(options, now);
    deliver(report, options.output);
    return status;
}

namespace {

/// What is handed out by the plan; none where the plan itself cannot be assessed.
std::optional<PlannedHandOuts> planned_or_none(const Plan& plan,
                                               const std::vector<PersonChoice>& choices) {
    try {
        return planned_hand_outs(plan, choices);
    } catch (const Obstacle&) {
        return std::nullopt;
    }
}

}  // namespace

ExitStatus run_choose(const ChooseOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    files::refuse_study(options.plan, "choose", inputs);
    const files::LoadedPlan loaded = read_plan(options.plan, options.output, inputs);
    const Plan& plan = loaded.plan;
    for (const ReadingNote& note : loaded.notes)
        say(fmt::format("{}: note: {}", note.where.text(), note.text));
    report::Record record = record_of("choose", options.output, loaded, inputs);
    record.fewer_draws_where_clear = true;
    std::vector<PersonChoice> choices;
    const SizeOf<AskedOfPlans> size = [read = is_read(options.output)](const AskedOfPlans& of) {
        WorkSize all = size_of_choose(of.plans.front(), of.asked);
        if (read) all.seconds += size_of_verdicts(of.plans.front()).seconds;
        return all;
    };
    const AskedOfPlans asked{{plan}, report_asked(options.output)};
    const std::string report = watched(asked, size, options.plan, [&] {
        choices = choose(plan, tracing(options.output));
        std::optional<PlannedHandOuts> planned;
        return in_format(
            options.output, [&] { return report::choose_json(plan, choices, record); },
            [&] {
                report::Telling told = telling(options.output);
                planned = planned_or_none(plan, choices);
                if (planned) told.planned = &*planned;
                return report::choose_document(plan, choices, record, told);
            },
            report::choose_csv);
    });
    deliver(report, options.output);
    const auto is_answered = [](const PersonChoice& choice) {
        return choice.verdict() == Verdict::Within || choice.verdict() == Verdict::Close;
    };
    return std::ranges::all_of(choices, is_answered) ? computed : over_or_unknown;
}

ExitStatus run_ratings(const RatingsOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    const Catalogue catalogue = files::read_protector_catalogue(options.protectors, inputs);
    check_output_is_no_input(options.output, {{options.protectors}});
    report::Record record = cli::record_of(options.output, {options.protectors}, inputs);
    add_examples(record, {options.protectors}, inputs);
    const RatingsCheck check = check_ratings(catalogue, tracing(options.output));
    deliver(in_format(
                options.output, [&] { return report::ratings_json(check, record); },
                [&] { return report::ratings_document(check, record); }, report::ratings_csv),
            options.output);
    return check.any_apart() ? over_or_unknown : computed;
}

}  // namespace earbudget::cli
