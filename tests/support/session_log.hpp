#pragma once

#include <cmath>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "sessions/bodies.hpp"
#include "sessions/exposure_record.hpp"
#include "sessions/heard.hpp"

namespace earbudget::test {

/// Entries as a register gives them back, written one by one as time goes on.
class SessionLog {
  public:
    using Entry = registers::Entry;
    using Kind = registers::EntryKind;

    explicit SessionLog(Instant begin, std::string as = "P-0001")
        : now_(begin), as_(std::move(as)) {}

    [[nodiscard]] Instant now() const { return now_; }
    void wait(Seconds time) { now_ = after(time); }
    [[nodiscard]] std::int64_t session() const { return session_; }

    void start(const Plan& plan, const Person& person) {
        ++session_;
        auto rest = sessions::record_of_rest(plan, person, provenance).or_throw();
        add(Kind::SessionStart, now_, now_,
            sessions::text_of(
                sessions::PresenceBody{.plan = sessions::PlanRef{"plan.toml", plan.title, "00", {}},
                                       .person = person.id,
                                       .role = person.role,
                                       .program = "test",
                                       .rest = share(std::move(rest))}));
    }
    void run(const Plan& plan, const Person& person, std::size_t sequence, Seconds time) {
        const Instant from = now_;
        now_ = after(time);
        add(Kind::Run, from, now_, body_of_run(plan, person, sequence, time));
    }
    void begin_run(const Plan& plan, const Person& person, std::size_t sequence, Seconds planned) {
        add(Kind::RunStart, now_, now_, body_of_run(plan, person, sequence, planned));
    }
    void task(const sessions::TaskRecord& task) {
        const Instant from = now_;
        now_ = after(task.duration);
        add(Kind::Task, from, now_,
            sessions::text_of(sessions::RunBody{
                .sequence = task.title,
                .exposure = std::make_shared<const sessions::ExposureRecord>(task.exposure)}));
    }
    void end() { add(Kind::SessionEnd, now_, now_, "{}"); }
    void event(sessions::EventKind what) {
        add(Kind::Event, now_, now_, sessions::text_of(sessions::EventBody{what, "a note"}));
    }
    void clear(std::int64_t event) {
        add(Kind::Clearance, now_, now_, sessions::text_of_clearance(event));
    }
    void wear(const Plan& plan, const Person& person, const sessions::WornNow& worn) {
        auto rest = sessions::record_of_rest(plan, sessions::wearing_now(person, worn), provenance);
        add(Kind::Wear, now_, now_,
            sessions::text_of(sessions::WearBody{worn, share(std::move(rest).or_throw())}));
    }
    void add(Kind kind, Instant from, Instant to, std::string body) {
        Entry entry;
        entry.kind = kind;
        entry.as = as_;
        entry.session = session_;
        entry.from = from;
        entry.to = to;
        entry.body = std::move(body);
        entry.n = next_++;
        entries_.push_back(std::move(entry));
    }

    /// One day of the person as the plan has it: all its sessions.
    void run_day_as_planned(const Plan& plan, const Person& person) {
        const auto tasks = sessions::records_of_tasks(plan, person, provenance).or_throw();
        for (unsigned n = 0; n < person.sessions_per_day; ++n) {
            start(plan, person);
            for (const auto& one : tasks)
                if (n == 0 && one.once_a_day) task(one);
            if (person.role != Role::Participant) tasks_of_session(tasks);
            timeline(plan, person);
            if (person.role == Role::Participant) tasks_of_session(tasks);
            end();
        }
    }

    [[nodiscard]] std::vector<Entry>& entries() { return entries_; }
    [[nodiscard]] sessions::HeardByPerson heard() { return heard(now_); }
    [[nodiscard]] sessions::HeardByPerson heard(Instant now) {
        return sessions::heard_by(entries_, now, cache_);
    }

    sessions::Provenance provenance = {"test", {{"card.toml", "00ff"}}};

  private:
    static sessions::SharedRecord share(sessions::ExposureRecord record) {
        return std::make_shared<const sessions::ExposureRecord>(std::move(record));
    }
    std::string body_of_run(const Plan& plan, const Person& person, std::size_t sequence,
                            Seconds planned) const {
        auto exposure = sessions::record_of_run(plan, person, sequence, provenance).or_throw();
        return sessions::text_of(sessions::RunBody{.sequence = plan.sequences[sequence].id,
                                                   .planned = planned,
                                                   .exposure = share(std::move(exposure))});
    }
    void tasks_of_session(const std::vector<sessions::TaskRecord>& tasks) {
        for (const auto& one : tasks)
            if (!one.once_a_day) task(one);
    }
    void timeline(const Plan& plan, const Person& person) {
        for (const TimelineRow& row : plan.timeline) {
            for (unsigned n = 0; n < row.repeat; ++n) {
                if (row.sequence) {
                    run(plan, person, *row.sequence, row.duration);
                } else {
                    wait(row.duration);
                }
            }
        }
    }
    [[nodiscard]] Instant after(Seconds time) const {
        return {now_.ms + std::llround(time.count() * 1000.0)};
    }

    Instant now_;
    std::string as_;
    std::int64_t session_ = 0, next_ = 1;
    std::vector<Entry> entries_ = {};
    sessions::RecordCache cache_ = {};
};

/// "2026-11-29T18:05:00Z" and the like.
inline Instant at(const char* text) { return parse_rfc3339(text).value().at; }

}  // namespace earbudget::test
