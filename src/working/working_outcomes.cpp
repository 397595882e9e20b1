#include <algorithm>

#include <fmt/format.h>

#include "earbudget/choice/candidates.hpp"
#include "earbudget/choice/shares.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/study/input_error.hpp"
#include "working/working_steps.hpp"

namespace earbudget {

namespace {

constexpr Formula change_of_the_day{"drop = LEX,8h now − LEX,8h with the change", "difference"};
constexpr Formula above_the_room{"speech at the ear − residual noise at the ear", "difference"};
constexpr Formula sum_of_shares{"Σ of the shares of its rows", "sum"};

void work_out_list(const Plan& plan, const std::vector<Share>& shares, const std::string& list,
                   const PersonResult& result, Working& working) {
    for (std::size_t n = 0; n < shares.size(); ++n) {
        const Share& share = shares[n];
        const std::size_t first = working.size();
        StepOf step(fmt::format("{} {}, share", list, n + 1),
                    {key_of("drivers." + list, n, "share_percent")}, sum_of_shares);
        step.columns({"row", "share_percent"});
        for (std::size_t i = 0; i < result.segments.size(); ++i) {
            const HeardRow& row = result.segments[i].row;
            const bool of_it =
                list == "tasks" ? row.task == share.task : row.sequence == share.sequence;
            if (of_it) step.row(static_cast<double>(i + 1), result.segments[i].share_percent);
        }
        working.push_back(step.is(share.percent, "percent"));
        working.push_back(StepOf(fmt::format("{} {}, drop without it", list, n + 1),
                                 {key_of("drivers." + list, n, "drop_without_it_dB")},
                                 formula_of_drop)
                              .value("share_percent", share.percent)
                              .is(share.drop, "dB"));
        if (share.sequence) name_topics(first, {plan.sequences[*share.sequence].id}, working);
    }
}

void work_out_change(const PersonResult& result, Working& working) {
    const auto& now = result.exposure.at_ear_LEX_8h;
    if (!result.largest_change || !now) return;
    const Change& change = *result.largest_change;
    working.push_back(
        StepOf("largest change: ", {"drivers.largest_change.drop_dB"}, change_of_the_day)
            .then(change.says)
            .value("LEX_8h_now_dB", now)
            .value("LEX_8h_then_dB", *now - change.drop)
            .is(change.drop, "dB"));
}

void work_out_intercom(const PersonResult& result, Working& working) {
    if (!result.intercom || !result.intercom->residual) return;
    working.push_back(StepOf("speech above what is left of the room",
                             {"intercom.above_residual_dB"}, above_the_room)
                          .value("speech_dB", result.intercom->speech)
                          .value("residual_dB", result.intercom->residual)
                          .is(result.intercom->above_residual(), "dB"));
}

std::vector<HeardRow> rows_of(const PersonResult& result) {
    std::vector<HeardRow> rows;
    for (const SegmentResult& segment : result.segments)
        rows.push_back(segment.row);
    return rows;
}

void work_out_poor_fit(const Plan& plan, const PersonResult& result, Working& working) {
    if (!result.poor_fit_LEX_8h) return;
    const Person& person = *result.person;
    const HearingDay day = hear(plan, poorly_seated(person));
    working.push_back(daily_exposure_step(plan, person, day,
                                          "LEX,8h at the ear, poorly seated (reductions at most "
                                          "10 dB)",
                                          {"poorly_seated_LEX_8h_dB"}));
}

/// The keys of what every method says.
std::vector<std::string> keys_of_method(const std::vector<MethodOutcome>& methods, std::size_t n) {
    const MethodSpread spread = spread_of(methods);
    const auto& level = methods[n].at_ear_LEX_8h;
    std::vector<std::string> keys{key_of("methods.each", n, "at_ear_LEX_8h_dB")};
    if (!level) return keys;
    // Two methods may agree: the first one says it.
    const auto is_first_with = [&](const std::optional<LevelA>& extreme) {
        const auto first = std::ranges::find(methods, extreme, &MethodOutcome::at_ear_LEX_8h);
        return static_cast<std::size_t>(first - methods.begin()) == n;
    };
    if (is_first_with(spread.lowest)) keys.emplace_back("methods.lowest_at_ear_LEX_8h_dB");
    if (is_first_with(spread.highest)) keys.emplace_back("methods.highest_at_ear_LEX_8h_dB");
    if (methods[n].of_policy) keys.emplace_back("methods.policy_at_ear_LEX_8h_dB");
    return keys;
}

}  // namespace

void work_out_scanning(const Plan& plan, const Person& person, const std::vector<HeardRow>& rows,
                       const std::optional<LevelA>& level, const std::string& of,
                       Working& working) {
    if (!level) return;
    StepOf step("LAeq at the ear while sequences run", {of}, formula_while_scanning);
    step.columns({"row", "L_dB", "t_s"});
    for (const HeardRow& row : rows) {
        if (row.sequence) step.row(words_of(plan, person, row), row.at_ear, row.time);
    }
    working.push_back(step.is(level, "dB(A)"));
}

void work_out_methods(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                      const Wearing& wearing, const std::vector<MethodOutcome>& methods,
                      Working& working) {
    for (std::size_t n = 0; n < methods.size(); ++n) {
        const MethodOutcome& outcome = methods[n];
        const Person asked = asking_for(outcome.method, person);
        const HearingDay day = hear(plan, asked, wears, wearing);
        const std::string by =
            fmt::format("by {}, derating {}", name_of(outcome.method), name_of(outcome.derating));
        Working of_method;
        // What the verdict is by stands there already.
        if (!outcome.of_policy) {
            work_out_levels(plan, asked, wears, day, RowKeys::None, of_method);
            for (WorkingStep& step : of_method) {
                step.what += ", " + by;
                working.push_back(std::move(step));
            }
        }
        working.push_back(daily_exposure_step(plan, asked, day, "LEX,8h at the ear " + by,
                                              keys_of_method(methods, n)));
    }
}

void work_out_outcomes(const Plan& plan, const PersonResult& result, Working& working) {
    work_out_list(plan, result.sequence_shares, "sequences", result, working);
    work_out_list(plan, result.task_shares, "tasks", result, working);
    work_out_change(result, working);
    work_out_intercom(result, working);
    work_out_scanning(plan, *result.person, rows_of(result), result.while_scanning,
                      "while_scanning.at_ear_LAeq_dB", working);
    work_out_poor_fit(plan, result, working);
    const Person& person = *result.person;
    work_out_methods(plan, person, person.wears, person.wearing, result.methods, working);
}

}  // namespace earbudget
