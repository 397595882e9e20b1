#include "earbudget/choice/work_size.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "computing/work_costs.hpp"
#include "earbudget/choice/homogeneous_groups.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/computing/source_position.hpp"
#include "earbudget/day/exposure_row.hpp"
#include "earbudget/study/catalogue.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

namespace {

// Own choices: of the seconds of a question so many go into what could be worn instead.
constexpr double seconds_for_days = 4.0, seconds_for_draws = 3.0;

// However many people there are, so many are tried for each.
constexpr std::size_t least_candidates = 20;
constexpr double least_for_draws = 20e6;  // ns

// Well seated and poorly, by every method, and once more for advice.
constexpr double days_of_a_person = 8.0, days_of_a_choice = 11.0;
constexpr double levels_of_errors = 8.0;  // sessions beyond share errors (day_errors.cpp)

// Of results, and of a working where each criterion says what each row adds; measured.
constexpr double bytes_of_row = 700.0, bytes_of_criterion = 1500.0, bytes_of_worked_row = 1500.0,
                 bytes_of_choice = 2500.0;

/// What the cost of one person hangs on.
struct DaySize {
    double rows = 0.0, sounds = 0.0, segments = 0.0, course = 0.0, criteria = 0.0;
    double errors = 0.0;  // rows by the sessions in which they have errors of their own
    double exchange_rates = 0.0, hours = 0.0;
};

using Sequences = std::set<std::optional<std::size_t>>;  // none: a rest

Sequences sequences_of(const Plan& plan) {
    Sequences sequences;
    for (const TimelineRow& row : plan.timeline)
        sequences.insert(row.sequence);
    return sequences;
}

/// Rows by place and sequence: what sounds alike counts once.
std::size_t number_of_sounds(const Person& person, const Sequences& timeline) {
    using Place = std::tuple<std::optional<std::size_t>, bool, std::optional<std::size_t>>;
    std::set<Place> sounds;
    std::size_t own = person.role == Role::Participant ? timeline.size() : 0;
    for (const Task& task : person.tasks) {
        if (task.levels) {
            ++own;
        } else if (task.duration || task.sequence) {
            sounds.insert({task.position, task.door_open, task.sequence});
        } else {
            for (const auto& sequence : timeline)
                sounds.insert({task.position, task.door_open, sequence});
        }
    }
    return own + sounds.size();
}

/// Whether rows have an error of their own in each run, so that none shares those of another.
bool varies_by_run(const Plan& plan) {
    return std::ranges::any_of(plan.sequences, [](const Sequence& sequence) {
        const auto& parts = sequence.levels.uncertainty_parts;
        return parts && parts->run.dB() > 0.0;
    });
}

/// How often a session has protectors put in: rows between two insertions share their fit.
double insertions(const Plan& plan, const Person& person) {
    return 1.0 + static_cast<double>(person.tasks.size()) +
           static_cast<double>(std::ranges::count(plan.timeline, true, &TimelineRow::reinsert));
}

DaySize size_of_day(const Plan& plan, const Person& person, const Sequences& timeline) {
    const double sessions = person.sessions_per_day;
    DaySize size{.rows = static_cast<double>(number_of_rows(plan, person)),
                 .sounds = static_cast<double>(number_of_sounds(person, timeline))};
    const bool by_run = varies_by_run(plan);
    const bool by_fit = person.fit_uncertainty.dB() > 0.0 || person.PAR_uncertainty;
    const double differing = by_run || by_fit ? std::min(sessions, levels_of_errors) : 1.0;
    size.errors = size.rows * differing;
    size.segments =
        differing * (by_run   ? size.rows
                     : by_fit ? std::min(size.rows, size.sounds * insertions(plan, person))
                              : size.sounds);
    size.course = size.rows * sessions;
    std::set<double> rates;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.is_for(person.role)) continue;
        ++size.criteria;
        if (criterion.quantity == ExposureQuantity::LAeq_1h) ++size.hours;
        rates.insert(criterion.rule.exchange.dB());
    }
    size.exchange_rates = static_cast<double>(rates.size());
    return size;
}

/// Calls for the day of the first of each group of people alike, how many they are, and how many
/// sets of protectors are for one of them: of their own nobody else's.
template <class Use>
void for_each_kind(const Plan& plan, const Use& use) {
    const Sequences timeline = sequences_of(plan);
    for (const PeopleAlike& group : homogeneous_groups(plan.people)) {
        const Person& first = plan.people[group.front()];
        use(size_of_day(plan, first, timeline), static_cast<double>(group.size()),
            static_cast<double>(wearable_numbers_for(plan.catalogue, first.id).sets()));
    }
}

double cost_of_exposure(const DaySize& day) {
    return cost::exposure_row * day.rows + cost::predicted_sound * day.sounds +
           cost::judged_row * day.rows * (day.criteria + 2.0);
}

// Own choice, somewhat more than usual, since sizes do not tell what few draws leave in doubt: of a
// person assessed, questions that take all draws of the settings; of things to wear, the part for
// which few are not enough; of each row, how many of the draws of times say how often one more run
// fits, by the limit that decides and by every other. Where nothing is near a limit none of the
// latter are asked for.
constexpr double questions_of_a_person = 4.0, doubted_choices = 0.2;
constexpr double draws_of_runs = 16384.0, draws_of_runs_by_each = 8192.0;

double cost_of_draws(const DaySize& day, double draws) {
    const double anew = day.segments > static_cast<double>(cost::most_known) ? 1.5 : 1.0;
    const double rates = day.exchange_rates * std::min(day.sounds / day.segments, 1.0);
    return cost::errors_of_row * day.errors +
           draws * day.segments * anew * cost::of_rates(day.criteria, rates);
}

/// The variables of a day by all draws of the settings, what 95 % of these do not exceed, and the
/// loudest hours.
double cost_of_judging(const DaySize& day, double draws) {
    constexpr double variables_of_a_segment = 0.25, shared_variables = 2.0;
    constexpr double windows_of_a_row = 2.0;
    // Rows alike bring the same windows again; near a limit they are looked through twice.
    constexpr double looks = 2.0, changes_of_a_row = 3.0;
    const double changes = changes_of_a_row * std::sqrt(day.course * day.segments);
    const double hours =
        windows_of_a_row * cost::cell_of_window * day.course * day.segments +
        looks * draws * (cost::change_of_window * changes + cost::hour_of_draw * day.segments);
    return draws * (cost::variable_of_draw *
                        (shared_variables + variables_of_a_segment * day.segments) +
                    cost::judged_draw * day.criteria) +
           std::min(day.hours, 1.0) * hours;
}

/// More runs of every row that sounds otherwise: each row costs what it adds to the day.
double cost_of_runs(const DaySize& day) {
    const auto few = static_cast<double>(few_draws);
    const double of_times = draws_of_runs + day.criteria * draws_of_runs_by_each;
    const double a_row = cost::row_of_course * 3.0 * day.course +
                         day.criteria * cost::kept_rate_of_draw * few +
                         (cost::rate_again + cost::time_of_draw) * of_times;
    return a_row * std::min(day.rows, day.sounds);
}

double cost_of_assessing(const DaySize& day, const DrawSettings& settings) {
    const auto draws = static_cast<double>(settings.draws);
    const auto few = static_cast<double>(few_draws);
    return days_of_a_person * cost_of_exposure(day) +
           cost_of_draws(day, few + questions_of_a_person * draws) +
           cost_of_judging(day, few + draws) + cost_of_runs(day);
}

double cost_of_choice(const DaySize& day, const DrawSettings& draws) {
    // Well seated and poorly: for some of either few draws are enough.
    constexpr double fits = 1.5;
    const double drawn =
        static_cast<double>(few_draws) + doubted_choices * static_cast<double>(draws.draws);
    return days_of_a_choice * cost_of_exposure(day) + fits * cost_of_draws(day, drawn);
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
    for_each_kind(plan, [&](const DaySize& day, double people, double sets) {
        ++all.kinds;
        all.seconds += 1e-9 * cost(day, sets);
        all.bytes += people * (bytes_of_row * day.rows + bytes_of_criterion * day.criteria);
        all.largest.rows = std::max(all.largest.rows, day.rows);
        all.largest.segments = std::max(all.largest.segments, day.segments);
        all.largest.criteria = std::max(all.largest.criteria, day.criteria);
    });
    return all;
}

/// "400 people who differ × 50 rows × 3 criteria", with what could be worn between them.
Message words_of(const Everyone& all, const Plan& plan, std::vector<Message> between = {}) {
    const std::size_t people = plan.people.size();
    between.insert(between.begin(),
                   say<WorkPhrase::People>(
                       all.kinds, people > all.kinds ? say<WorkPhrase::InAll>(people) : Message()));
    between.push_back(
        say<WorkPhrase::RowsOfADay>(all.largest.rows, all.largest.segments, all.largest.criteria));
    return say<WorkPhrase::Product>(between);
}

/// Bytes of what is told of one person or one thing ranked, in JSON; a criterion says something of
/// each row. Measured with 5 and 25 rows, 1 to 21 criteria and up to 3720 things ranked.
struct ToldSize {
    double once, of_row, of_criterion, of_criterion_and_row;

    [[nodiscard]] double of(const DaySize& day) const {
        return once + of_row * day.rows +
               day.criteria * (of_criterion + of_criterion_and_row * day.rows);
    }
};

constexpr ToldSize told_of_person{5000.0, 800.0, 2200.0, 90.0},
    worked_of_person{5000.0, 15000.0, 9000.0, 1650.0}, told_of_choice{4200.0, 0.0, 0.0, 0.0},
    worked_of_choice{5000.0, 4700.0, 1700.0, 240.0};
constexpr double told_of_review = 400.0, worked_of_review = 1500.0;

/// In another form that is so many times of it; measured likewise.
struct InForms {
    double text, page;

    [[nodiscard]] double of(double json, ReportAsked::Form form) const {
        return json * (form == ReportAsked::Form::Text   ? text
                       : form == ReportAsked::Form::Page ? page
                                                         : 1.0);
    }
};

/// What is told of one, with its working where asked for.
double report_of(const DaySize& day, const ReportAsked& asked, bool person) {
    const ToldSize& told = person ? told_of_person : told_of_choice;
    const ToldSize& worked = person ? worked_of_person : worked_of_choice;
    constexpr double drawings = 15000.0;
    const bool drawn = person && asked.form == ReportAsked::Form::Page;
    const InForms forms = person ? InForms{0.5, 1.3} : InForms{0.8, 1.1};
    const InForms worked_forms = person ? InForms{0.45, 1.35} : InForms{0.45, 1.1};
    return forms.of(told.of(day), asked.form) + (drawn ? drawings : 0.0) +
           (asked.working ? worked_forms.of(worked.of(day), asked.form) : 0.0);
}

/// For each person in JSON, else for people alike once; of each as many as `of_person` says by the
/// sets of protectors.
double report_of_everyone(const Plan& plan, const ReportAsked& asked, bool person,
                          double (*of_person)(double sets)) {
    double all = 0.0;
    for_each_kind(plan, [&](const DaySize& day, double people, double sets) {
        all += of_person(sets) * report_of(day, asked, person) *
               (asked.form == ReportAsked::Form::Json ? people : 1.0);
    });
    return all;
}

/// What is ranked of so many sets: all of them, and nothing worn.
double number_ranked(double sets) { return sets + 1.0; }

double cost_of_ranked(const Plan& plan, const DaySize& day) {
    return cost_of_choice(day, plan.draws) +
           days_of_a_choice * cost::of_pairs(plan.catalogue.pairs.size());
}

/// One thing to wear looked at for its place in a ranking that is not whole.
double cost_of_look(const Plan& plan) {
    return cost::predicted_sound + cost::of_pairs(plan.catalogue.pairs.size());
}

Message words_of_sets(const WearableNumbers& numbers) {
    if (numbers.pairs() == 0) return say<WorkPhrase::Protectors>(numbers.single);
    return say<WorkPhrase::ProtectorsAndPairs>(numbers.sets(), numbers.single, numbers.plugs,
                                               numbers.earmuffs);
}

/// Of whom there is most to wear for.
WearableNumbers most_wearable(const Plan& plan) {
    WearableNumbers most;
    for (const Person& person : plan.people)
        most = std::ranges::max(most, wearable_numbers_for(plan.catalogue, person.id), {},
                                &WearableNumbers::sets);
    return most;
}

}  // namespace

WorkSize size_of_assess(const Plan& plan, const ReportAsked& asked) {
    double instead = 0.0, looked_at = 0.0;
    const Everyone all = everyone(plan, [&](const DaySize& day, double sets) {
        instead += 1e-9 * sets * cost_of_exposure(day);
        looked_at += sets;
        return cost_of_assessing(day, plan.draws);
    });
    // Of more than are tried each is looked at.
    const double looks = instead > seconds_for_days ? 1e-9 * looked_at * cost_of_look(plan) : 0.0;
    return {.seconds = all.seconds + std::min(instead, seconds_for_days) + looks,
            .bytes = all.bytes + (asked.working ? bytes_of_working(plan) : 0.0),
            .report = report_of_everyone(plan, asked, /*person=*/true, [](double) { return 1.0; }),
            .factors = words_of(all, plan)};
}

WorkSize size_of_verdicts(const Plan& plan) {
    constexpr double line_of_person = 500.0;
    const Everyone all = everyone(plan, [&](const DaySize& day, double /*sets*/) {
        const auto drawn = static_cast<double>(few_draws + 2 * plan.draws.draws);
        return 2.0 * cost_of_exposure(day) + cost_of_draws(day, drawn);
    });
    return {.seconds = all.seconds,
            .bytes = all.bytes,
            .report = line_of_person * static_cast<double>(plan.people.size()),
            .factors = words_of(all, plan)};
}

double bytes_of_working(const Plan& plan) {
    double most = 0.0;
    for_each_kind(plan, [&](const DaySize& day, double, double) {
        most = std::max(most, bytes_of_worked_row * day.rows * (day.criteria + 4.0));
    });
    return most;
}

WorkSize size_of_choose(const Plan& plan, const ReportAsked& asked) {
    const Everyone all = everyone(plan, [&](const DaySize& day, double sets) {
        return number_ranked(sets) * cost_of_ranked(plan, day);
    });
    double bytes = 0.0;
    for_each_kind(plan, [&](const DaySize&, double people, double sets) {
        bytes += bytes_of_choice * number_ranked(sets) * people;
    });
    if (asked.working) bytes += bytes_of_working(plan);
    return {.seconds = all.seconds,
            .bytes = bytes,
            .report = report_of_everyone(plan, asked, /*person=*/false, number_ranked),
            .factors = words_of(all, plan, {words_of_sets(most_wearable(plan))})};
}

WorkSize size_of_sheet(const Plan& plan) {
    WorkSize size = together(size_of_assess(plan), size_of_choose(plan));
    size.report = size_of_assess(plan, {.form = ReportAsked::Form::Page}).report;
    return size;
}

WorkSize size_of_review(std::size_t cards, const ReviewTerms& terms, const ReportAsked& asked) {
    const std::size_t sets = 1 + (terms.catalogue ? wearable_numbers(*terms.catalogue).sets() : 0);
    const auto criteria = static_cast<std::size_t>(std::ranges::count_if(
        terms.policy.criteria,
        [&](const Criterion& criterion) { return criterion.is_for(terms.role); }));
    const double seconds = 1e-9 * cost::reviewed_criterion * static_cast<double>(cards) *
                           static_cast<double>(sets) * static_cast<double>(criteria);
    const auto told = static_cast<double>(cards * sets * std::max<std::size_t>(criteria, 1));
    const double json = told_of_review + (asked.working ? worked_of_review : 0.0);
    return {.seconds = seconds,
            .bytes = bytes_of_criterion * told,
            .report = told * InForms{0.5, 1.1}.of(json, asked.form),
            .factors = say<WorkPhrase::Product>(std::vector<Message>{
                say<WorkPhrase::Cards>(cards),
                terms.catalogue ? words_of_sets(wearable_numbers(*terms.catalogue))
                                : say<WorkPhrase::NothingWorn>(),
                say<WorkPhrase::Criteria>(criteria)})};
}

WorkSize together(const WorkSize& one, const WorkSize& other) {
    return {.seconds = one.seconds + other.seconds,
            .bytes = one.bytes + other.bytes,
            .report = one.report + other.report,
            .factors = say<WorkPhrase::Both>(one.factors, other.factors)};
}

double part_of_accepted(const WorkSize& size, double most_report) {
    return std::max(
        {size.seconds / most_seconds, size.bytes / most_bytes, size.report / most_report});
}

Message too_much(const WorkSize& size, double most_report) {
    const double part = part_of_accepted(size, most_report);
    // Rounded up, so that what is just above does not look accepted.
    const auto above = [](double value) { return std::ceil(value * 10.0) / 10.0; };
    if (size.seconds / most_seconds >= part) {
        const double seconds = above(size.seconds);
        return size.seconds < most_seconds + 10.0
                   ? say<WorkPhrase::TooLongByLittle>(size.factors, seconds, most_seconds)
                   : say<WorkPhrase::TooLong>(size.factors, seconds, most_seconds);
    }
    const bool is_memory = size.bytes / most_bytes >= part;
    const double bytes = is_memory ? size.bytes : size.report;
    const double most = is_memory ? most_bytes : most_report;
    const double megabytes = above(bytes / 1e6);
    return bytes < 1.1 * most
               ? say<WorkPhrase::TooLargeByLittle>(size.factors, is_memory, megabytes, most / 1e6)
               : say<WorkPhrase::TooLarge>(size.factors, is_memory, megabytes, most / 1e6);
}

Message too_much_counted(const WorkSize& size) {
    return say<WorkPhrase::TooLongAsCounted>(size.factors, most_seconds_counted);
}

CandidateBudget candidate_budget(const Plan& plan) {
    const auto kinds =
        static_cast<double>(std::max<std::size_t>(homogeneous_groups(plan.people).size(), 1));
    return {.for_days = seconds_for_days * 1e9 / kinds,
            .for_draws = std::max(least_for_draws, seconds_for_draws * 1e9 / kinds)};
}

std::size_t most_candidates(const Plan& plan, const Person& person, const CandidateBudget& budget) {
    const double day = cost_of_exposure(size_of_day(plan, person, sequences_of(plan))) +
                       cost::of_pairs(plan.catalogue.pairs.size());
    const double most = std::min(budget.for_days / day, 1e9);
    return std::max(least_candidates, static_cast<std::size_t>(most));
}

}  // namespace earbudget
