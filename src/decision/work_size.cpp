#include "earbudget/decision/work_size.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include "decision/people_alike.hpp"
#include "decision/work_costs.hpp"
#include "earbudget/decision/drawn_day.hpp"
#include "earbudget/decision/heard_row.hpp"
#include "earbudget/study/input_error.hpp"
#include "earbudget/study/wearable_sets.hpp"

namespace earbudget {

namespace {

// Own choices: of the seconds of a question so many go into what could be worn instead.
constexpr double seconds_for_days = 4.0, seconds_for_draws = 3.0;

// However many people there are, so many are tried for each.
constexpr std::size_t least_candidates = 20;
constexpr double least_for_draws = 20e6;  // ns

// Well seated and poorly, by every method, and once more for advice.
constexpr double days_of_a_person = 12.0, days_of_a_choice = 11.0;
constexpr double levels_of_errors = 8.0;  // sessions beyond share errors (day_errors.cpp)

// Of results, and of a working where each criterion says what each row adds; measured.
constexpr double bytes_of_row = 700.0, bytes_of_criterion = 1500.0, bytes_of_worked_row = 1500.0,
                 bytes_of_choice = 2500.0;

/// What the cost of one person hangs on.
struct DaySize {
    double rows = 0.0, sounds = 0.0, segments = 0.0, course = 0.0, criteria = 0.0;
};

/// Rows by place and sequence: what sounds alike counts once.
class SoundsOf {
  public:
    explicit SoundsOf(const Plan& plan) {
        for (const TimelineRow& row : plan.timeline)
            of_timeline_.insert(row.sequence);
    }

    [[nodiscard]] std::size_t count(const Person& person) const {
        using Place = std::tuple<std::optional<std::size_t>, bool, std::optional<std::size_t>>;
        std::set<Place> sounds;
        std::size_t own = 0;
        if (person.role == Role::Participant) own += of_timeline_.size();
        for (const Task& task : person.tasks) {
            if (task.levels) {
                ++own;
            } else if (task.duration || task.sequence) {
                sounds.insert({task.position, task.door_open, task.sequence});
            } else {
                for (const auto& sequence : of_timeline_)
                    sounds.insert({task.position, task.door_open, sequence});
            }
        }
        return own + sounds.size();
    }

  private:
    std::set<std::optional<std::size_t>> of_timeline_;
};

bool varies_by_run(const Plan& plan, const Person& person) {
    return person.fit_uncertainty.dB() > 0.0 || person.PAR_uncertainty ||
           std::ranges::any_of(plan.sequences, [](const Sequence& sequence) {
               const auto& parts = sequence.levels.uncertainty_parts;
               return parts && parts->run.dB() > 0.0;
           });
}

DaySize size_of_day(const Plan& plan, const Person& person, const SoundsOf& sounds) {
    DaySize size;
    const double sessions = person.sessions_per_day;
    size.rows = static_cast<double>(number_of_rows(plan, person));
    size.sounds = static_cast<double>(sounds.count(person));
    size.segments = varies_by_run(plan, person) ? size.rows * std::min(sessions, levels_of_errors)
                                                : size.sounds;
    size.course = size.rows * sessions;
    size.criteria = static_cast<double>(std::ranges::count_if(
        person.policy.criteria,
        [&](const Criterion& criterion) { return criterion.is_for(person.role); }));
    return size;
}

double cost_of_hearing(const DaySize& day) {
    return cost::heard_row * day.rows + cost::predicted_sound * day.sounds +
           cost::judged_row * day.rows * (day.criteria + 2.0);
}

double cost_of_draws(const DaySize& day, double draws) {
    return cost::errors_of_row * std::max(day.segments, day.rows) +
           cost::rate_of_draw * draws * day.segments * day.criteria;
}

/// More runs of every row that sounds otherwise: all rows by few draws, and that one by all.
double cost_of_runs(const DaySize& day) {
    const auto few = static_cast<double>(few_draws);
    const auto many = static_cast<double>(lattice_size);
    const double a_row = cost::row_of_course * 3.0 * day.course +
                         day.criteria * (cost::kept_rate_of_draw * few * day.segments +
                                         (cost::rate_of_draw + cost::time_of_draw) * many);
    return a_row * std::min(day.rows, day.sounds);
}

double cost_of_assessing(const DaySize& day, const DrawSettings& draws) {
    const auto drawn = static_cast<double>(few_draws + 2 * draws.draws);
    return days_of_a_person * cost_of_hearing(day) + cost_of_draws(day, drawn) + cost_of_runs(day);
}

double cost_of_choice(const DaySize& day, const DrawSettings& draws) {
    return days_of_a_choice * cost_of_hearing(day) +
           2.0 * cost_of_draws(day, static_cast<double>(few_draws + draws.draws));
}

/// A question about everyone of a plan, and its largest factors.
struct Everyone {
    std::size_t kinds = 0;
    double seconds = 0.0, bytes = 0.0;
    DaySize largest = {};
};

template <class Cost>
Everyone everyone(const Plan& plan, const Cost& cost) {
    Everyone all;
    const SoundsOf sounds(plan);
    for (const PeopleAlike& group : people_alike(plan.people)) {
        const DaySize day = size_of_day(plan, plan.people[group.people.front()], sounds);
        ++all.kinds;
        all.seconds += 1e-9 * cost(day);
        all.bytes += static_cast<double>(group.people.size()) *
                     (bytes_of_row * day.rows + bytes_of_criterion * day.criteria);
        all.largest.rows = std::max(all.largest.rows, day.rows);
        all.largest.segments = std::max(all.largest.segments, day.segments);
        all.largest.criteria = std::max(all.largest.criteria, day.criteria);
    }
    return all;
}

std::string people_words(std::size_t people) {
    return fmt::format("{} {}", people, people == 1 ? "person" : "people who differ");
}

std::string day_words(const Everyone& all) {
    return fmt::format("{:.0f} rows a day of {:.0f} sounds that differ × {:.0f} criteria",
                       all.largest.rows, all.largest.segments, all.largest.criteria);
}

std::size_t part_of(std::size_t number, double seconds) {
    return static_cast<std::size_t>(
        std::floor(static_cast<double>(number) * most_seconds / std::max(seconds, 1e-9)));
}

/// How much less of one factor would do: of that which there is most of.
std::string less_of(std::initializer_list<std::pair<std::size_t, std::string_view>> factors,
                    double seconds) {
    const auto most = std::max_element(factors.begin(), factors.end());
    return fmt::format("for example {} {}", std::max<std::size_t>(part_of(most->first, seconds), 1),
                       most->second);
}

}  // namespace

WorkSize size_of_assess(const Plan& plan) {
    const auto sets = static_cast<double>(number_of_wearable_sets(plan.catalogue));
    double instead = 0.0;
    const Everyone all = everyone(plan, [&](const DaySize& day) {
        instead += 1e-9 * sets * cost_of_hearing(day);
        return cost_of_assessing(day, plan.draws);
    });
    const double seconds = all.seconds + std::min(instead, seconds_for_days);
    return {.seconds = seconds,
            .bytes = all.bytes,
            .factors = people_words(all.kinds) + " × " + day_words(all),
            .reduce = less_of({{all.kinds, "people in one plan"},
                               {static_cast<std::size_t>(all.largest.segments), "rows or cards"},
                               {static_cast<std::size_t>(all.largest.criteria), "criteria"}},
                              seconds)};
}

double bytes_of_working(const Plan& plan) {
    const SoundsOf sounds(plan);
    double most = 0.0;
    for (const Person& person : plan.people) {
        const DaySize day = size_of_day(plan, person, sounds);
        most = std::max(most, bytes_of_worked_row * day.rows * (day.criteria + 4.0));
    }
    return most;
}

WorkSize size_of_choose(const Plan& plan) {
    const std::size_t sets = number_of_wearable_sets(plan.catalogue) + 1;
    Everyone all = everyone(plan, [&](const DaySize& day) {
        const double pairs = cost::of_pairs(plan.catalogue.pairs.size());
        return static_cast<double>(sets) *
               (cost_of_choice(day, plan.draws) + days_of_a_choice * pairs);
    });
    return {.seconds = all.seconds,
            .bytes = bytes_of_choice * static_cast<double>(plan.people.size() * sets),
            .factors = fmt::format("{} × {} protectors and pairs × {}", people_words(all.kinds),
                                   sets - 1, day_words(all)),
            .reduce = less_of({{all.kinds, "people in one plan"},
                               {sets - 1, "protectors and pairs in the catalogue"},
                               {static_cast<std::size_t>(all.largest.segments), "rows or cards"},
                               {static_cast<std::size_t>(all.largest.criteria), "criteria"}},
                              all.seconds)};
}

WorkSize size_of_review(std::size_t cards, const ReviewTerms& terms) {
    const std::size_t sets = 1 + (terms.catalogue ? number_of_wearable_sets(*terms.catalogue) : 0);
    const auto criteria = static_cast<std::size_t>(std::ranges::count_if(
        terms.policy.criteria,
        [&](const Criterion& criterion) { return criterion.is_for(terms.role); }));
    const double seconds = 1e-9 * cost::reviewed_criterion * static_cast<double>(cards) *
                           static_cast<double>(sets) * static_cast<double>(criteria);
    return {.seconds = seconds,
            .bytes = bytes_of_criterion *
                     static_cast<double>(cards * sets * std::max<std::size_t>(criteria, 1)),
            .factors = fmt::format("{} card{} × {} protectors and pairs × {} criteria", cards,
                                   cards == 1 ? "" : "s", sets - 1, criteria),
            .reduce = less_of({{cards, "cards at once"},
                               {sets - 1, "protectors and pairs in the catalogue"},
                               {criteria, "criteria"}},
                              seconds)};
}

WorkSize together(const WorkSize& one, const WorkSize& other) {
    const WorkSize& larger = one.seconds < other.seconds ? other : one;
    return {.seconds = one.seconds + other.seconds,
            .bytes = one.bytes + other.bytes,
            .factors = one.factors + " and " + other.factors,
            .reduce = larger.reduce};
}

void refuse_too_much(const WorkSize& size, const std::string& file) {
    if (size.seconds > most_seconds) {
        throw InputError({file},
                         fmt::format("{}: about {:.0f} s of computing; accepted: at most "
                                     "{:.0f} s, {}",
                                     size.factors, size.seconds, most_seconds, size.reduce));
    }
    if (size.bytes > most_bytes) {
        throw InputError(
            {file}, fmt::format("{}: about {:.0f} MB of results and working; accepted: at most "
                                "{:.0f} MB, for example fewer people, rows, protectors or criteria "
                                "in one plan, or no --working",
                                size.factors, size.bytes / 1e6, most_bytes / 1e6));
    }
}

std::string words_of_too_much_counted(const WorkSize& size) {
    return fmt::format(
        "{}: more than {:.0f} s of computing, since many results lie so near their "
        "limits that they take more draws; accepted: less, for example half as many "
        "rows, people, protectors or criteria",
        size.factors, most_seconds_counted);
}

CandidateBudget candidate_budget(const Plan& plan) {
    const auto kinds =
        static_cast<double>(std::max<std::size_t>(people_alike(plan.people).size(), 1));
    return {.for_days = seconds_for_days * 1e9 / kinds,
            .for_draws = std::max(least_for_draws, seconds_for_draws * 1e9 / kinds)};
}

std::size_t most_candidates(const Plan& plan, const Person& person, const CandidateBudget& budget) {
    const double day = cost_of_hearing(size_of_day(plan, person, SoundsOf(plan))) +
                       cost::of_pairs(plan.catalogue.pairs.size());
    const double most = std::min(budget.for_days / day, 1e9);
    return std::max(least_candidates, static_cast<std::size_t>(most));
}

}  // namespace earbudget
