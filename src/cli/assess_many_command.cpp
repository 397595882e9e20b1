#include <algorithm>
#include <filesystem>
#include <optional>
#include <set>
#include <system_error>
#include <variant>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "files/study_files.hpp"
#include "files/visits_file.hpp"
#include "overview/found_plans.hpp"
#include "overview/plan_answers.hpp"
#include "overview/study_answers.hpp"
#include "report/json_text.hpp"
#include "report/text_style.hpp"

namespace earbudget::cli {

namespace {

/// An earlier answer may be as large as a report.
constexpr std::size_t largest_answer = report::largest_report / 2;

/// A plan, or a study of visits.
struct AskedPlan {
    std::string path;
    std::variant<files::LoadedPlan, files::LoadedStudy> loaded;

    [[nodiscard]] const files::LoadedStudy* study() const {
        return std::get_if<files::LoadedStudy>(&loaded);
    }
    [[nodiscard]] const files::LoadedPlan& plan() const {
        return std::get<files::LoadedPlan>(loaded);
    }
    [[nodiscard]] const std::vector<std::string>& files() const {
        return study() ? study()->files : plan().files;
    }
    [[nodiscard]] const std::set<std::string>& folders() const {
        return study() ? study()->folders : plan().folders;
    }
    [[nodiscard]] const std::vector<std::string>& examples() const {
        return study() ? study()->examples : plan().examples;
    }
    [[nodiscard]] const DrawSettings& draws() const {
        return study() ? study()->study.visits.front().plan.draws : plan().plan.draws;
    }
};

struct AskedOfMany {
    std::vector<AskedPlan> plans = {};
    overview::FoundPlans found = {};
    std::optional<overview::EarlierAnswers> earlier = std::nullopt;
};

AskedPlan read_one(const std::string& path, const OutputOptions& output, files::TextInputs& inputs) {
    if (!files::is_study(path, inputs)) {
        files::LoadedPlan loaded = files::read_plan(path, inputs);
        settle_plan(loaded.plan, output);
        return {path, std::move(loaded)};
    }
    files::LoadedStudy loaded = files::read_study(path, inputs);
    for (Visit& visit : loaded.study.visits)
        settle_plan(visit.plan, output);
    return {path, std::move(loaded)};
}

/// All plans and what they are compared with; mistakes of all of them are told at once.
AskedOfMany read_many(const AssessOptions& options, files::TextInputs& inputs) {
    AskedOfMany asked;
    files::ErrorList errors;
    asked.found = overview::find_plans(options.paths, inputs, errors);
    for (const std::string& path : asked.found.files) {
        errors.attempt(
            [&] { asked.plans.push_back(read_one(path, options.output, inputs)); });
    }
    errors.attempt([&] {
        if (!options.since) return;
        const std::string& text = inputs.text(*options.since, {*options.since}, largest_answer);
        asked.earlier =
            overview::read_earlier({*options.since, inputs.sha256(*options.since)}, text);
    });
    errors.throw_if_any();
    return asked;
}

files::ReadBefore inputs_of(const AssessOptions& options, const AskedOfMany& asked) {
    files::ReadBefore all{.files = asked.found.files};
    if (options.since) all.files.push_back(*options.since);
    for (const AskedPlan& one : asked.plans) {
        all.files.insert(all.files.end(), one.files().begin(), one.files().end());
        all.folders.insert(one.folders().begin(), one.folders().end());
    }
    return all;
}

WorkSize size_of(const AskedOfMany& asked) {
    WorkSize all;
    double most = 0.0;
    for (const AskedPlan& plan : asked.plans) {
        const WorkSize one = plan.study() ? overview::size_of_study(plan.study()->study)
                                          : size_of_verdicts(plan.plan().plan);
        if (one.seconds >= most) all.factors = one.factors;
        most = std::max(most, one.seconds);
        all.seconds += one.seconds;
        all.bytes = std::max(all.bytes, one.bytes);  // what is not told is forgotten
        all.report += one.report;
    }
    return all;
}

/// What is told of a plan, or what stands in its way; and the rules behind it.
struct AnsweredPlan {
    std::variant<overview::PlanAnswer, Obstacle> told;
    report::RulesUsed rules = {};
};

AnsweredPlan answer_of(const AskedPlan& asked, const files::TextInputs& inputs) {
    const report::SourceFile file{asked.path, inputs.sha256(asked.path)};
    try {
        if (const files::LoadedStudy* loaded = asked.study()) {
            const StudyAssessment assessment = assess(loaded->study);
            const overview::StudyReport report{&assessment, file, {}};
            return {overview::answer_to(assessment, file), report.rules()};
        }
        const Assessment assessment = assess_verdicts(asked.plan().plan);
        return {overview::answer_to(assessment, file), report::rules_of(assessment)};
    } catch (const Obstacle& obstacle) {
        return {obstacle};
    }
}

overview::PlansReport answers_of(const AskedOfMany& asked, const files::TextInputs& inputs) {
    overview::PlansReport report{
        .plans = {}, .earlier = asked.earlier, .left_out = asked.found.left_out};
    files::ErrorList errors;
    for (AnsweredPlan& one : for_each_at_once(
             asked.plans, [&](const AskedPlan& plan) { return answer_of(plan, inputs); })) {
        if (const auto* obstacle = std::get_if<Obstacle>(&one.told)) {
            errors.add({obstacle->position(), text_of(obstacle->says())});
            continue;
        }
        report.plans.push_back(std::get<overview::PlanAnswer>(std::move(one.told)));
        overview::add_rules(one.rules, report.rules);
    }
    errors.throw_if_any();
    return report;
}

report::Record record_of(const AssessOptions& options, const AskedOfMany& asked,
                         const files::TextInputs& inputs) {
    report::Record record = cli::record_of(options.output);
    for (const AskedPlan& plan : asked.plans) {
        add_inputs(record, plan.files(), inputs);
        for (const std::string& file : plan.examples())
            add_once(file, record.examples);
    }
    if (options.since) add_inputs(record, {*options.since}, inputs);
    record.draws = asked.plans.front().draws();
    return record;
}

}  // namespace

bool asks_for_many(const AssessOptions& options) {
    std::error_code ignored;
    return options.paths.size() > 1 || options.since ||
           (options.paths.size() == 1 &&
            std::filesystem::is_directory(options.paths.front(), ignored));
}

const char* option_of_one_plan(const AssessOptions& options) {
    return options.sheet            ? "--sheet"
           : options.against        ? "--against"
           : options.output.working ? "--working"
                                    : nullptr;
}

void check_many(const AssessOptions& options) {
    if (!asks_for_many(options)) return;
    const char* const of_one = option_of_one_plan(options);
    if (!of_one) return;
    throw UsageProblem(
        fmt::format("earbudget assess: {} is of one plan alone, and several, a "
                    "folder or --since are given; accepted: {} with one plan",
                    of_one, of_one));
}

ExitStatus run_assess_many(const AssessOptions& options) {
    check_output(options.output);
    files::TextInputs inputs;
    const AskedOfMany asked = read_many(options, inputs);
    check_output_is_no_input(options.output, inputs_of(options, asked));
    overview::PlansReport report;
    const std::string text = watched(
        size_of(asked), options.paths.front(), [] { return "for example fewer plans at once"; },
        [&] {
            report = answers_of(asked, inputs);
            report.record = record_of(options, asked, inputs);
            if (options.output.format == "csv") return overview::plans_csv(report);
            return in_format(
                options.output, [&] { return overview::plans_json(report); },
                [&] { return overview::plans_document(report, options.output.detail); });
        });
    deliver(text, options.output);
    return status_of(report.verdict());
}

}  // namespace earbudget::cli
