#include <algorithm>

#include "advice/advice_on.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/day_budget.hpp"
#include "earbudget/limits/shorten.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

namespace {

// A run shorter than this, or than this part of what is planned, is not what a study wants: nobody
// would follow (own choice).
constexpr Seconds shortest_run{30.0};
constexpr double least_part = 0.1;

bool is_worth_running(const std::optional<Seconds>& time, Seconds now) {
    return time && *time >= std::min(shortest_run, now) && *time >= least_part * now;
}

/// Says what keeps the accepted probability, beside what the best estimate permits.
void add_confident(const LongestTime& longest, Seconds now, const PersonResult& result,
                   std::vector<Message>& says) {
    const double percent = accepted_percent(*result.person);
    const Seconds confident = longest.confident.value_or(Seconds(0.0));
    says.push_back(!longest.confident ? say<AdvicePhrase::NotKeptWithout>(percent)
                   : is_worth_running(longest.confident, now)
                       ? say<AdvicePhrase::AtMostKeeps>(confident, percent)
                       : say<AdvicePhrase::BetterLeftOut>(percent));
    const bool far = is_worth_running(longest.best_estimate, now) &&
                     are_far_apart(longest.best_estimate->count(), confident.count());
    if (far) add_why_far_apart(result, says);
}

// The sequence, with its row where it stands in several and the position of staff.
Message row_name(const Plan& plan, const ExposureDay& day, std::size_t row) {
    const ExposureRow& exposed = day.rows[row];
    const auto same = std::ranges::count(day.rows, exposed.sequence, &ExposureRow::sequence);
    return say<AdvicePhrase::SequenceRow>(
        plan.sequences[*exposed.sequence].id,
        same > 1 ? say<AdvicePhrase::InRow>(row + 1) : Message(), exposed.position.has_value(),
        exposed.position ? plan.positions[*exposed.position].id : "");
}

// How many of its repeats keep every limit.
std::optional<Advice> drop_repeats(const Plan& plan, const PersonResult& result,
                                   const ExposureDay& day, std::size_t row,
                                   const LongestTime& longest) {
    const Person& person = *result.person;
    const ExposureRow& exposed = day.rows[row];
    if (exposed.repeat < 2) return std::nullopt;
    const auto runs_in = [&](Seconds time) {
        return static_cast<unsigned>((time + Seconds(0.001)) / exposed.run());
    };
    const unsigned runs = runs_in(longest.best_estimate.value());
    if (runs < 1 || runs >= exposed.repeat) return std::nullopt;
    Advice advice{.code = AdviceCode::DropRepeats, .row = row, .count = runs};
    const double percent = accepted_percent(person);
    const Message name = row_name(plan, day, row);
    advice.says = {runs == 1 ? say<AdvicePhrase::RunOnce>(name, exposed.repeat)
                             : say<AdvicePhrase::RunTimes>(name, runs, exposed.repeat)};
    if (!longest.confident) {
        advice.says.push_back(say<AdvicePhrase::NoNumberKeeps>(percent));
        return advice;
    }
    const unsigned confident = std::min(runs, runs_in(*longest.confident));
    advice.confident_count = confident;
    if (confident < runs) {
        advice.says.push_back(confident == 0 ? say<AdvicePhrase::LessThanOneKeeps>(percent)
                                             : say<AdvicePhrase::SomeKeep>(confident, percent));
        if (confident > 0 && are_far_apart(runs, confident)) add_why_far_apart(result, advice.says);
    }
    return advice;
}

std::vector<Message> shorten_row_to(const Plan& plan, const PersonResult& result,
                                    const ExposureDay& day, std::size_t row,
                                    const LongestTime& longest) {
    const Seconds now = day.rows[row].time;
    const Seconds best = longest.best_estimate.value();
    const double percent = accepted_percent(*result.person);
    const Message name = row_name(plan, day, row);
    std::vector<Message> says;
    if (best < now && !is_worth_running(best, now)) {
        says.push_back(say<AdvicePhrase::LeaveOut>(name));
        if (!longest.confident) add_confident(longest, now, result, says);
    } else if (best < now || !longest.confident || *longest.confident >= now) {
        says.push_back(best < now ? say<AdvicePhrase::Shorten>(name, best, now)
                                  : say<AdvicePhrase::DoNotLengthen>(name, best, now));
        add_confident(longest, now, result, says);
    } else {
        says.push_back(
            is_worth_running(longest.confident, now)
                ? say<AdvicePhrase::ShortenToKeep>(name, *longest.confident, now, percent)
                : say<AdvicePhrase::NotWorthRunning>(name, percent));
        says.push_back(say<AdvicePhrase::ByBestEstimate>(best));
        if (are_far_apart(best.count(), longest.confident->count()))
            add_why_far_apart(result, says);
    }
    return says;
}

Advice shorten_row(const Plan& plan, const PersonResult& result, const ExposureDay& day,
                   std::size_t row, const LongestTime& longest) {
    return {.code = AdviceCode::Shorten,
            .says = shorten_row_to(plan, result, day, row, longest),
            .row = row,
            .seconds = longest.best_estimate,
            .confident_seconds = longest.confident};
}

// Whether leaving out a row would keep every limit.
bool is_enough(const DayBudget& budget, std::size_t row) {
    const auto longest = budget.longest_of_row(row, budget.times()[row]);
    if (!longest) return false;
    if (!budget.hour_matters()) return true;
    std::vector<Seconds> times = budget.times();
    times[row] = Seconds(0.0);
    return !budget.is_hour_over(times, budget.sessions());
}

// Rows with a sequence, the one with the largest share of the sound energy first.
std::vector<std::size_t> rows_by_share(const PersonResult& result) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < result.segments.size(); ++i) {
        if (result.segments[i].row.sequence) rows.push_back(i);
    }
    std::stable_sort(rows.begin(), rows.end(), [&](std::size_t a, std::size_t b) {
        return result.segments[a].share_percent > result.segments[b].share_percent;
    });
    return rows;
}

}  // namespace

void add_why_far_apart(const PersonResult& result, std::vector<Message>& says) {
    const CriterionResult* deciding = nullptr;
    for (const CriterionResult& criterion : result.criteria) {
        if (!criterion.first_order || criterion.first_order->parts.empty()) continue;
        // Far from normal, where a standard uncertainty says nothing.
        if (criterion.probability_over &&
            disagree(*criterion.probability_over, criterion.first_order->probability_over)) {
            continue;
        }
        if (!deciding || criterion.probability_over > deciding->probability_over)
            deciding = &criterion;
    }
    if (!deciding) return;
    const FirstOrder& errors = *deciding->first_order;
    const ErrorShare& largest = errors.parts.front();
    says.push_back(say<AdvicePhrase::FarApart>(
        errors.standard, name_of(largest.kind), largest.standard,
        largest.kind == ErrorKind::People && result.people_spread_by_default));
}

void advise_shortening(const Plan& plan, const ExposureDay& day, const MonteCarloDay& drawn,
                       const PersonResult& result, std::vector<Advice>& advice) {
    const Person& person = *result.person;
    const DayBudget budget(person, day);
    for (const std::size_t row : rows_by_share(result)) {
        if (!is_enough(budget, row)) continue;
        const LongestTime longest = longest_time_of_row(person, day, row, &drawn);
        if (!longest.best_estimate) continue;
        // Not kept confidently without it, and by the best estimate it could last longer.
        if (!longest.confident && *longest.best_estimate >= day.rows[row].time) continue;
        advice.push_back(shorten_row(plan, result, day, row, longest));
        if (auto fewer = drop_repeats(plan, result, day, row, longest)) {
            advice.push_back(*std::move(fewer));
        }
        return;
    }
    const LongestTime all = longest_time_of_all_sequences(person, day, &drawn);
    const Seconds now = time_of_sequences(day);
    if (!is_worth_running(all.best_estimate, now)) return;
    if (*all.best_estimate >= now) return;
    Advice shorten{.code = AdviceCode::Shorten,
                   .says = {say<AdvicePhrase::ShortenAll>(*all.best_estimate)},
                   .seconds = all.best_estimate,
                   .confident_seconds = all.confident};
    add_confident(all, now, result, shorten.says);
    advice.push_back(std::move(shorten));
}

}  // namespace earbudget
