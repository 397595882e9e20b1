#include "sessions/from_heard.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

namespace earbudget::sessions {

namespace {

/// Lays parts one after the other.
class Laying {
  public:
    Laying(const Plan& plan, const Person& person, Instant begin, const Provenance& provenance)
        : plan_(plan), person_(person), at_(begin), provenance_(provenance) {}

    [[nodiscard]] std::vector<Heard> take() && {
        const auto tasks = records_of_tasks(plan_, person_, provenance_).or_throw();
        for (const TaskRecord& task : tasks)
            if (task.once_a_day) add(task);
        for (unsigned session = 0; session < person_.sessions_per_day; ++session) {
            --session_;
            bool is_timeline_laid = false;
            const auto lay_timeline = [&] {
                if (std::exchange(is_timeline_laid, true)) return;
                for (const TimelineRow& row : plan_.timeline)
                    add(row);
            };
            if (person_.role == Role::Participant) lay_timeline();
            auto task = tasks.begin();
            for (std::size_t n = 0; n < person_.tasks.size(); ++n) {
                if (task == tasks.end() || task->index != n) {
                    lay_timeline();
                } else if (!(task++)->once_a_day) {
                    add(*std::prev(task));
                }
            }
        }
        return std::move(parts_);
    }

  private:
    void add(const TaskRecord& task) {
        add(HeardKind::Task, task.title, task.duration,
            std::make_shared<const ExposureRecord>(task.exposure));
    }

    void add(const TimelineRow& row) {
        const HeardKind kind = row.sequence ? HeardKind::Run : HeardKind::Rest;
        add(kind, row.sequence ? plan_.sequences[*row.sequence].id : std::string(), row.time(),
            record(row.sequence));
        if (row.reinsert) insertion_ = entry_;
    }

    SharedRecord record(std::optional<std::size_t> sequence) {
        const SessionOfDay of_day = session_ == -1 ? SessionOfDay::First : SessionOfDay::Later;
        SharedRecord& known = records_[{sequence, of_day}];
        if (!known) {
            auto exposure = sequence ? record_of_run(plan_, person_, *sequence, provenance_, of_day)
                                     : record_of_rest(plan_, person_, provenance_, of_day);
            known = std::make_shared<const ExposureRecord>(std::move(exposure).or_throw());
        }
        return known;
    }

    void add(HeardKind kind, std::string name, Seconds time, SharedRecord exposure) {
        const Instant end{at_.ms + std::llround(time.count() * 1000.0)};
        --entry_;
        parts_.push_back({.kind = kind,
                          .when = {at_, end},
                          .entry = entry_,
                          .session = session_,
                          .insertion = insertion_,
                          .name = std::move(name),
                          .exposure = std::move(exposure)});
        at_ = end;
    }

    const Plan& plan_;
    const Person& person_;
    Instant at_;
    const Provenance& provenance_;
    // Below 0: no entry of a register.
    std::int64_t entry_ = 0, session_ = 0, insertion_ = 0;
    std::map<std::pair<std::optional<std::size_t>, SessionOfDay>, SharedRecord> records_ = {};
    std::vector<Heard> parts_ = {};
};

Instant end_of(const std::vector<Heard>& parts, Instant now) {
    for (const Heard& part : parts)
        now = std::max(now, part.when.to);
    return now;
}

void put_runs(const Plan& plan, const std::vector<RunsLeft>& runs, PersonResult& result) {
    for (SegmentResult& segment : result.segments) {
        if (!segment.row.sequence) continue;
        const auto left =
            std::ranges::find(runs, plan.sequences[*segment.row.sequence].id, &RunsLeft::id);
        if (left == runs.end()) continue;
        segment.repeats_left = left->runs;
        segment.repeats_left_best_estimate = left->best_estimate;
    }
}

}  // namespace

std::vector<Heard> as_planned(const Plan& plan, const Person& person, Instant begin,
                              const Provenance& provenance) {
    return Laying(plan, person, begin, provenance).take();
}

AssessedFromHeard assess_from(const Plan& plan, const PersonFromHeard& person, Instant now,
                              Judge& judge, const Provenance& provenance) {
    const Person& planned = *std::ranges::find(plan.people, person.id, &Person::id);
    const LocalDay day = judge.calendar().day_of(now);
    AssessedFromHeard assessed{.id = person.id, .as = person.as};
    assessed.so_far = judge.now(person.heard.parts, day, planned.role);
    HeardByPerson all = person.heard;
    const auto parts = as_planned(plan, planned, end_of(person.heard.parts, now), provenance);
    all.parts.insert(all.parts.end(), parts.begin(), parts.end());
    const Instant end = end_of(all.parts, now);
    assessed.together = judge.now(all.parts, day, planned.role, end);
    const Next next = next_runs(all, runs_of_plan(plan, planned, provenance), planned.role,
                                parts.empty() ? 0 : parts.back().session, now, judge);
    assessed.runs_left = next.sequences;
    assessed.stop = next.stop;
    return assessed;
}

Assessment with_heard(Assessment assessment, const std::vector<AssessedFromHeard>& people) {
    for (const AssessedFromHeard& person : people) {
        const auto result = std::ranges::find_if(assessment.people, [&](const PersonResult& one) {
            return one.person->id == person.id;
        });
        if (result == assessment.people.end()) continue;
        result->criteria = person.together->criteria;
        result->verdict = person.together->verdict;
        result->advice.clear();
        result->instead.reset();
        result->largest_change.reset();
        result->course = {};
        put_runs(*assessment.plan, person.runs_left, *result);
    }
    return assessment;
}

}  // namespace earbudget::sessions
