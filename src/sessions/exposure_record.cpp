#include "sessions/exposure_record.hpp"

#include <algorithm>
#include <functional>
#include <utility>

#include "earbudget/limits/unmeasured.hpp"
#include "earbudget/study/catalogue.hpp"

namespace earbudget::sessions {

namespace {

constexpr Seconds a_second{1.0};

using Wanted = std::function<bool(const ExposureRow&)>;

/// One kind of limit on peaks each that a criterion can have (PeakLimit::at_ear).
std::vector<PeaksBy> peaks_of(const Plan& plan, const Person& person, const ExposureDay& day) {
    std::vector<PeaksBy> all;
    for (const auto& [weighting, at_ear] :
         {std::pair{PeakLimit::Weighting::C, false}, std::pair{PeakLimit::Weighting::None, false},
          std::pair{PeakLimit::Weighting::C, true}}) {
        const PeakLimit limit{Pressure(1.0), weighting, at_ear};
        all.push_back({weighting, at_ear, row_peaks(limit, plan, person, day)});
    }
    return all;
}

std::string name_of(const Plan& plan, const Person& person, const ExposureRow& row) {
    if (row.sequence) return plan.sequences[*row.sequence].id;
    return row.task ? person.tasks[*row.task].title : std::string();
}

/// The criteria for the role as they are judged.
std::vector<Criterion> criteria_in_force(const Person& person) {
    std::vector<Criterion> criteria;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.is_for(person.role)) continue;
        criteria.push_back(person.policy.weekly_average ? averaged_over_week(criterion)
                                                        : criterion);
    }
    return criteria;
}

/// The rows that are wanted of one session of the person, a second each.
Result<ExposureRecord> record_of(const Plan& plan, const Person& person,
                                 const Provenance& provenance, const Wanted& wanted) {
    auto heard = day_or_obstacle(plan, person);
    if (!heard) return heard.obstacle();
    const DayErrors errors = errors_of_day(plan, person, *heard);
    ExposureRecord record{.provenance = provenance,
                          .role = person.role,
                          .age_group = person.age_group,
                          .criteria = criteria_in_force(person),
                          .accepted_probability = person.policy.accepted_probability,
                          .draws = plan.draws};
    for (ExposureRow& row : heard->rows)
        row.time = a_second;
    DayJoiner joiner;
    joiner.add(*heard, errors, [](const ErrorVariable& variable) { return variable.stream; },
               {.wanted = wanted});
    JoinedDays joined = std::move(joiner).take();
    std::erase_if(heard->rows, [&](const ExposureRow& row) { return !wanted(row); });
    for (const ExposureRow& row : heard->rows)
        record.names.push_back(name_of(plan, person, row));
    record.unmeasured = unmeasured_in(plan, person, *heard);
    record.peaks = peaks_of(plan, person, *heard);
    record.day = std::move(joined.day);
    record.day.method = heard->method;
    record.day.derating = heard->derating;
    record.day.wears = heard->wears;
    record.day.wearing = heard->wearing;
    if (!record.is_unreached()) record.day.unreached.clear();
    record.errors = *joined.errors;
    return record;
}

/// One session of the person on a timeline of one row.
Person in_one_session(Person person) {
    person.sessions_per_day = 1;
    person.days_per_week = std::nullopt;
    return person;
}

Plan with_timeline(const Plan& plan, std::optional<std::size_t> sequence) {
    Plan one = plan;
    one.timeline = {TimelineRow{.sequence = sequence, .duration = a_second}};
    return one;
}

bool is_of_timeline(const ExposureRow& row) { return row.timeline_row.has_value(); }

bool is_in_session(const ExposureRow& row, SessionOfDay session) {
    return session == SessionOfDay::First || !row.once_a_day;
}

}  // namespace

bool ExposureRecord::is_unreached() const {
    return std::ranges::any_of(day.rows, &ExposureRow::is_unreached);
}

const std::vector<RowPeak>& ExposureRecord::peaks_by(const PeakLimit& limit) const {
    static const std::vector<RowPeak> none;
    const auto found = std::ranges::find_if(peaks, [&](const PeaksBy& by) {
        return by.weighting == limit.weighting && by.at_ear == limit.at_ear;
    });
    return found == peaks.end() ? none : found->peaks;
}

Person wearing_now(Person person, const WornNow& worn) {
    if (worn.PAR) {
        person.PAR = worn.PAR;
        person.PAR_uncertainty = std::nullopt;
    } else if (!are_same_set(person.wears, worn.wears)) {
        person.PAR = std::nullopt;
        person.PAR_uncertainty = std::nullopt;
    }
    person.wears = worn.wears;
    person.wearing = worn.wearing;
    return person;
}

Result<ExposureRecord> record_of_run(const Plan& plan, const Person& person, std::size_t sequence,
                                     const Provenance& provenance, SessionOfDay session) {
    return record_of(with_timeline(plan, sequence), in_one_session(person), provenance,
                     [session](const ExposureRow& row) {
                         return is_of_timeline(row) && is_in_session(row, session);
                     });
}

Result<ExposureRecord> record_of_rest(const Plan& plan, const Person& person,
                                      const Provenance& provenance, SessionOfDay session) {
    return record_of(with_timeline(plan, std::nullopt), in_one_session(person), provenance,
                     [session](const ExposureRow& row) {
                         return is_of_timeline(row) && row.sound && is_in_session(row, session);
                     });
}

Result<std::vector<TaskRecord>> records_of_tasks(const Plan& plan, const Person& person,
                                                 const Provenance& provenance) {
    std::vector<TaskRecord> tasks;
    const Plan no_runs = with_timeline(plan, std::nullopt);
    for (std::size_t n = 0; n < person.tasks.size(); ++n) {
        const Task& task = person.tasks[n];
        if (!task.duration) continue;
        auto exposure =
            record_of(no_runs, in_one_session(person), provenance, [n](const ExposureRow& row) {
                return row.task == n && row.sound && !is_of_timeline(row);
            });
        if (!exposure) return exposure.obstacle();
        tasks.push_back({task.title, n, *task.duration, task.once_a_day, *std::move(exposure)});
    }
    return tasks;
}

std::size_t add_card(Plan& plan, Sequence card) {
    plan.sequences.push_back(std::move(card));
    return plan.sequences.size() - 1;
}

std::optional<std::size_t> sequence_named(const Plan& plan, std::string_view id) {
    const auto found = std::ranges::find(plan.sequences, id, &Sequence::id);
    if (found == plan.sequences.end()) return std::nullopt;
    return static_cast<std::size_t>(found - plan.sequences.begin());
}

}  // namespace earbudget::sessions
