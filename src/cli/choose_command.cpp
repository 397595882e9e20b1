#include <algorithm>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/deliver.hpp"
#include "cli/messages.hpp"
#include "cli/record_of.hpp"
#include "cli/watched_work.hpp"
#include "cli/working_for.hpp"
#include "earbudget/advice/less_work.hpp"
#include "earbudget/choice/choose.hpp"
#include "files/study_files.hpp"
#include "report/reports.hpp"
#include "report/words/words.hpp"

namespace earbudget::cli {

namespace {

std::string report_of(const ChooseOptions& options, const Plan& plan,
                      const std::vector<PersonChoice>& choices, const report::Record& record) {
    if (options.output.format == "json") return report::choose_json(plan, choices, record);
    return rendered(report::choose_document(plan, choices, record), options.output);
}

}  // namespace

ExitStatus run_choose(const ChooseOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    files::LoadedPlan loaded = files::read_plan(options.plan, inputs);
    for (const ReadingNote& note : loaded.notes)
        say(fmt::format("{}: note: {}", note.where.text(), note.text));
    loaded.plan.draws.seed = options.output.seed_of_draws();
    check_output_is_no_input(options.output, {loaded.files, loaded.folders});
    report::Record record = record_of(options.output, loaded.files, inputs);
    record.draws = loaded.plan.draws;
    record.fewer_draws_where_clear = true;
    record.working_for = working_for("choose", options.output, loaded.plan);
    std::vector<PersonChoice> choices;
    const ReportAsked asked = report_asked(options.output);
    const auto less = [&] {
        return text_of(said_of_less(less_work(
            AskedOfPlans{{loaded.plan}, asked},
            [](const AskedOfPlans& of) { return size_of_choose(of.plans.front(), of.asked); },
            most_report())));
    };
    const WorkSize size = size_of_choose(loaded.plan, asked);
    const std::string report = watched(size, options.plan, less, [&] {
        choices = choose(loaded.plan, tracing(options.output));
        return report_of(options, loaded.plan, choices, record);
    });
    deliver(report, options.output);
    const auto is_answered = [](const PersonChoice& choice) {
        return choice.verdict() == Verdict::Within || choice.verdict() == Verdict::Close;
    };
    return std::ranges::all_of(choices, is_answered) ? computed : over_or_unknown;
}

}  // namespace earbudget::cli
