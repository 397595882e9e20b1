#include <algorithm>
#include <utility>

#include "advice/advising.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/uncertainty/day_errors.hpp"
#include "limits/traced.hpp"

namespace earbudget {

namespace {

// A run shorter than this, or than this part of what is planned, is not what a study wants: nobody
// would follow (own choice).
constexpr Seconds shortest_run{30.0};
constexpr double least_part = 0.1;

constexpr Formula runs_in_the_longest{"floor(longest time / one run)", "docs/methods.md, advice"};
bool is_worth_running(const std::optional<Seconds>& time, Seconds now) {
    return time && *time >= std::min(shortest_run, now) && *time >= least_part * now;
}

/// Says what keeps the accepted probability, beside what the best estimate permits.
void add_confident(const Advising& on, const LongestTime& longest, Seconds now,
                   std::vector<Message>& says, bool of_one_row = true) {
    const double percent = on.accepted_percent();
    const Seconds confident = longest.confident.value_or(Seconds(0.0));
    says.push_back(!longest.confident ? say<AdvicePhrase::NotKeptWithout>(of_one_row, percent)
                   : is_worth_running(longest.confident, now)
                       ? say<AdvicePhrase::AtMostKeeps>(confident, percent)
                       : say<AdvicePhrase::BetterLeftOut>(of_one_row, percent));
    if (is_worth_running(longest.best_estimate, now))
        on.add_why_far_apart(longest.best_estimate->count(), confident.count(), says);
}

/// The sequence, with its row where it stands in several and the position of staff.
Message row_name(const Advising& on, std::size_t row) {
    const ExposureRow& exposed = on.day.rows[row];
    const auto same = std::ranges::count(on.day.rows, exposed.sequence, &ExposureRow::sequence);
    return say<AdvicePhrase::SequenceRow>(
        on.plan.sequences[*exposed.sequence].id,
        same > 1 ? say<AdvicePhrase::InRow>(row + 1) : Message(), exposed.position.has_value(),
        exposed.position ? on.plan.positions[*exposed.position].id : "");
}

void leave_shortened(const Advising& on, const Message& what, const LongestTime& longest) {
    if (!on.trace) return;
    on.leave(longest.step(what, on.key("seconds")));
    if (longest.confident) {
        on.leave_confident(say<StepPhrase::Confident>(what), "confident_seconds",
                           longest.confident->count(), "s");
    }
}

/// How many of a row's repeats keep every limit.
void advise_fewer_repeats(Advising& on, std::size_t row, const LongestTime& longest) {
    const ExposureRow& exposed = on.day.rows[row];
    if (exposed.repeat < 2) return;
    const auto runs_in = [&](Seconds time) {
        return static_cast<unsigned>((time + Seconds(0.001)) / exposed.run());
    };
    const unsigned runs = runs_in(longest.best_estimate.value());
    if (runs < 1 || runs >= exposed.repeat) return;
    Advice advice{.code = AdviceCode::DropRepeats, .row = row, .count = runs};
    const double percent = on.accepted_percent();
    const Message name = row_name(on, row);
    advice.says = {runs == 1 ? say<AdvicePhrase::RunOnce>(name, exposed.repeat)
                             : say<AdvicePhrase::RunTimes>(name, runs, exposed.repeat)};
    on.leave(StepOf(say<StepPhrase::RunsThatKeep>(), on.key("repeat"), runs_in_the_longest)
                 .value("longest_s", longest.best_estimate)
                 .value("run_s", exposed.run())
                 .is(runs, "runs"));
    if (longest.confident) {
        const unsigned confident = std::min(runs, runs_in(*longest.confident));
        advice.confident_count = confident;
        on.leave_confident(say<StepPhrase::ConfidentRuns>(), "confident_repeat", confident, "runs");
        if (confident == 0) {
            advice.says.push_back(say<AdvicePhrase::LessThanOneKeeps>(percent));
        } else if (confident < runs) {
            advice.says.push_back(say<AdvicePhrase::SomeKeep>(confident, percent));
            on.add_why_far_apart(runs, confident, advice.says);
        }
    } else {
        advice.says.push_back(say<AdvicePhrase::NoNumberKeeps>(percent));
    }
    on.advice.push_back(std::move(advice));
}

std::vector<Message> shorten_row_to(const Advising& on, std::size_t row,
                                    const LongestTime& longest) {
    const Seconds now = on.day.rows[row].time;
    const Seconds best = longest.best_estimate.value();
    const double percent = on.accepted_percent();
    const Message name = row_name(on, row);
    std::vector<Message> says;
    if (best < now && !is_worth_running(best, now)) {
        says.push_back(say<AdvicePhrase::LeaveOut>(name));
        if (!longest.confident) add_confident(on, longest, now, says);
    } else if (!longest.confident || *longest.confident >= now) {
        says.push_back(best < now ? say<AdvicePhrase::Shorten>(name, best, now)
                                  : say<AdvicePhrase::DoNotLengthen>(name, best, now));
        add_confident(on, longest, now, says);
    } else {
        // What is sure comes first: whoever reads no further runs no longer than that.
        says.push_back(
            is_worth_running(longest.confident, now)
                ? say<AdvicePhrase::ShortenToKeep>(name, *longest.confident, now, percent)
                : say<AdvicePhrase::NotWorthRunning>(name, percent));
        says.push_back(say<AdvicePhrase::ByBestEstimate>(best));
        on.add_why_far_apart(best.count(), longest.confident->count(), says);
    }
    return says;
}

/// The sure part of it without its reason; empty where there is none.
Message shorten_in_short(const Advising& on, std::size_t row, const LongestTime& longest,
                         const Message& says) {
    const Message name = row_name(on, row);
    if (says.is(AdvicePhrase::NotWorthRunning)) return say<AdvicePhrase::LeaveOut>(name);
    if (!says.is(AdvicePhrase::ShortenToKeep)) return {};
    return say<AdvicePhrase::Shorten>(name, *longest.confident, on.day.rows[row].time);
}

void shorten_row(Advising& on, std::size_t row, const LongestTime& longest) {
    const ExposureRow& exposed = on.day.rows[row];
    std::optional<Trace::About> about;
    if (on.trace) about.emplace(*on.trace, topics_of(on.plan, exposed));
    leave_shortened(on, say<StepPhrase::LongestTime>(words_of(on.plan, on.person, exposed)),
                    longest);
    std::vector<Message> says = shorten_row_to(on, row, longest);
    Message in_short = shorten_in_short(on, row, longest, says.front());
    on.advice.push_back({.code = AdviceCode::Shorten,
                         .says = std::move(says),
                         .in_short = std::move(in_short),
                         .row = row,
                         .seconds = longest.best_estimate,
                         .confident_seconds = longest.confident});
    advise_fewer_repeats(on, row, longest);
}

void shorten_all(Advising& on) {
    const LongestTime all = longest_time_of_all_sequences(on.person, on.day, &on.drawn);
    const Seconds now = time_of_sequences(on.day);
    if (!is_worth_running(all.best_estimate, now) || *all.best_estimate >= now) return;
    leave_shortened(on, say<StepPhrase::LongestOfAll>(), all);
    Advice shorten{.code = AdviceCode::Shorten,
                   .says = {say<AdvicePhrase::ShortenAll>(*all.best_estimate)},
                   .seconds = all.best_estimate,
                   .confident_seconds = all.confident};
    add_confident(on, all, now, shorten.says, false);
    on.advice.push_back(std::move(shorten));
}

/// Whether leaving out a row would keep every limit.
bool is_enough(const DayBudget& budget, std::size_t row) {
    const auto longest = budget.longest_of_row(row, budget.times()[row]);
    if (!longest) return false;
    if (!budget.hour_matters()) return true;
    std::vector<Seconds> times = budget.times();
    times[row] = Seconds(0.0);
    return !budget.is_hour_over(times, budget.sessions());
}

/// Rows with a sequence, the one with the largest share of the sound energy first.
std::vector<std::size_t> rows_by_share(const PersonResult& result) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < result.segments.size(); ++i) {
        if (result.segments[i].row.sequence) rows.push_back(i);
    }
    std::ranges::stable_sort(rows, std::ranges::greater(),
                             [&](std::size_t row) { return result.segments[row].share_percent; });
    return rows;
}

}  // namespace

void advise_shortening(Advising& on) {
    const DayBudget budget(on.person, on.day);
    for (const std::size_t row : rows_by_share(on.result)) {
        if (!is_enough(budget, row)) continue;
        const LongestTime longest = longest_time_of_row(budget, on.day, row, on.drawn);
        if (!longest.best_estimate) continue;
        // Not kept confidently without it, and by the best estimate it could last longer.
        if (!longest.confident && *longest.best_estimate >= on.day.rows[row].time) continue;
        return shorten_row(on, row, longest);
    }
    shorten_all(on);
}

}  // namespace earbudget
