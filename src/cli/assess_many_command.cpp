#include <algorithm>
#include <filesystem>
#include <optional>
#include <system_error>
#include <variant>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/steps.hpp"
#include "earbudget/advice/assess.hpp"
#include "earbudget/computing/for_each_at_once.hpp"
#include "files/study_files.hpp"
#include "overview/found_plans.hpp"
#include "overview/plan_answers.hpp"
#include "report/json_text.hpp"

namespace earbudget::cli {

namespace {

/// An earlier answer may be as large as a report.
constexpr std::size_t largest_answer = report::largest_report / 2;

struct AskedOfMany {
    std::vector<files::LoadedPlan> plans = {};
    overview::FoundPlans found = {};
    std::optional<overview::EarlierAnswers> earlier = std::nullopt;
};

/// All plans and what they are compared with; mistakes of all of them are told at once.
AskedOfMany read_many(const AssessOptions& options, files::TextInputs& inputs) {
    AskedOfMany asked;
    files::ErrorList errors;
    asked.found = overview::find_plans(options.paths, inputs, errors);
    for (const std::string& path : asked.found.files) {
        errors.attempt([&] {
            asked.plans.push_back(files::read_plan(path, inputs));
            asked.plans.back().plan.draws.seed = options.output.seed_of_draws();
        });
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
    for (const files::LoadedPlan& loaded : asked.plans) {
        all.files.insert(all.files.end(), loaded.files.begin(), loaded.files.end());
        all.folders.insert(loaded.folders.begin(), loaded.folders.end());
    }
    return all;
}

WorkSize size_of(const AskedOfMany& asked) {
    WorkSize all;
    double most = 0.0;
    for (const files::LoadedPlan& loaded : asked.plans) {
        const WorkSize one = size_of_verdicts(loaded.plan);
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

AnsweredPlan answer_of(const files::LoadedPlan& loaded, const files::TextInputs& inputs) {
    const std::string& path = loaded.files.front();
    try {
        const Assessment assessment = assess_verdicts(loaded.plan);
        return {overview::answer_to(assessment, {path, inputs.sha256(path)}),
                report::rules_of(assessment)};
    } catch (const Obstacle& obstacle) {
        return {obstacle};
    }
}

void add_rules(const report::RulesUsed& more, report::RulesUsed& rules) {
    const auto add = [](const auto& some, auto& all) {
        for (const report::NamedSource& source : some)
            if (std::ranges::find(all, source) == all.end()) all.push_back(source);
    };
    add(more.methods, rules.methods);
    add(more.deratings, rules.deratings);
    add(more.criteria, rules.criteria);
}

overview::PlansReport answers_of(const AskedOfMany& asked, const files::TextInputs& inputs) {
    overview::PlansReport report{
        .plans = {}, .earlier = asked.earlier, .left_out = asked.found.left_out};
    files::ErrorList errors;
    for (AnsweredPlan& one : for_each_at_once(asked.plans, [&](const files::LoadedPlan& loaded) {
             return answer_of(loaded, inputs);
         })) {
        if (const auto* obstacle = std::get_if<Obstacle>(&one.told)) {
            errors.add({obstacle->position(), text_of(obstacle->says())});
            continue;
        }
        report.plans.push_back(std::get<overview::PlanAnswer>(std::move(one.told)));
        add_rules(one.rules, report.rules);
    }
    errors.throw_if_any();
    return report;
}

report::Record record_of(const AssessOptions& options, const AskedOfMany& asked,
                         const files::TextInputs& inputs) {
    report::Record record = cli::record_of(options.output);
    for (const files::LoadedPlan& loaded : asked.plans)
        add_inputs(record, loaded.files, inputs);
    if (options.since) add_inputs(record, {*options.since}, inputs);
    record.draws = asked.plans.front().plan.draws;
    return record;
}

}  // namespace

bool asks_for_many(const AssessOptions& options) {
    std::error_code ignored;
    return options.paths.size() > 1 || options.since ||
           (options.paths.size() == 1 &&
            std::filesystem::is_directory(options.paths.front(), ignored));
}

void check_many(const AssessOptions& options) {
    if (!asks_for_many(options)) return;
    const char* const of_one = options.sheet            ? "--sheet"
                               : options.against        ? "--against"
                               : options.output.working ? "--working"
                                                        : nullptr;
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
            return in_format(
                options.output, [&] { return overview::plans_json(report); },
                [&] { return overview::plans_document(report); });
        });
    deliver(text, options.output);
    const Verdict verdict = report.verdict();
    return verdict == Verdict::Over || verdict == Verdict::Unknown ? over_or_unknown : computed;
}

}  // namespace earbudget::cli
