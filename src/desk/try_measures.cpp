#include "desk/try_measures.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "earbudget/advice/phrases.hpp"
#include "files/written_values.hpp"

namespace earbudget::desk::trying {

namespace {

constexpr double days_of_the_week = 7.0;

/// Never longer than that: whole seconds, of less than ten tenths.
std::string no_longer_than(Seconds time) {
    const double step = time.count() < 10.0 ? 0.1 : 1.0;
    // As much as rounding may have taken from a whole number.
    const double whole = std::floor(time.count() / step + 1e-6) * step;
    return files::written_duration(Seconds(whole));
}

class MeasureFor {
  public:
    MeasureFor(const Advice& advice, const PersonResult& result, const Trial& trial)
        : advice_(advice),
          result_(result),
          trial_(trial),
          plan_(trial.plan().loaded.plan),
          person_(static_cast<std::size_t>(result.person - plan_.people.data())) {}

    [[nodiscard]] std::optional<Measure> any() const {
        switch (advice_.code) {
            case AdviceCode::Shorten:
                return advice_.row ? shorten_row() : shorten_all();
            case AdviceCode::DropRepeats:
                return fewer_runs();
            case AdviceCode::FewerSessions:
                return fewer_sessions();
            case AdviceCode::SpreadDays:
                return advice_.count ? spread_sessions() : divide_session();
            case AdviceCode::AddProtection:
            case AdviceCode::ChangeProtection:
                return wear_instead();
            case AdviceCode::WearThroughout:
                return one("Worn all the time", {{"worn", ""}});
            default:
                return std::nullopt;
        }
    }

  private:
    /// Fields of the person; none where the form does not show them.
    [[nodiscard]] std::optional<Measure> one(std::string label, Fields fields) const {
        const std::string& key = trial_.edits().people.at(person_);
        if (key.empty()) return std::nullopt;
        for (auto& [name, value] : fields)
            name = fmt::format("{}.{}", key, name);
        return Measure{std::move(label), packed(fields)};
    }

    /// The key of a row of the timeline; empty where the form does not show it.
    [[nodiscard]] const std::string& row_key(std::size_t entry) const {
        return trial_.edits().timeline.at(entry).first;
    }

    [[nodiscard]] const ExposureRow& exposed() const { return result_.segments[*advice_.row].row; }

    [[nodiscard]] std::string sequence() const { return plan_.sequences[*exposed().sequence].id; }

    /// A run so long, or a task.
    [[nodiscard]] std::optional<Measure> lasting(Seconds all, std::string label) const {
        const ExposureRow& row = exposed();
        if (row.timeline_row) {
            const std::string& key = row_key(*row.timeline_row);
            if (key.empty()) return std::nullopt;
            const std::string run = no_longer_than(all / static_cast<double>(row.repeat));
            return Measure{label + run + (row.repeat > 1 ? " each" : ""),
                           packed({{key + ".duration", run}})};
        }
        if (!row.task || !is_task_shown(*row.task)) return std::nullopt;
        const std::string time = no_longer_than(all);
        return one(label + time, {{fmt::format("task-{}", *row.task), time}});
    }

    [[nodiscard]] bool is_task_shown(std::size_t task) const {
        const std::string& key = trial_.edits().people.at(person_);
        return std::ranges::any_of(trial_.form().people, [&](const TrialPerson& each) {
            return each.key == key && std::ranges::count(each.tasks, task, &TrialTask::index) > 0;
        });
    }

    [[nodiscard]] std::optional<Measure> shorten_row() const {
        const Message& says = advice_.says.front();
        if (says.is(AdvicePhrase::LeaveOut) || says.is(AdvicePhrase::NotWorthRunning)) {
            if (!exposed().timeline_row || row_key(*exposed().timeline_row).empty())
                return std::nullopt;
            return Measure{fmt::format("Leave out {}", sequence()),
                           packed({{"drop", row_key(*exposed().timeline_row)}})};
        }
        // What is sure where that is what is advised, else the best estimate.
        const bool sure = says.is(AdvicePhrase::ShortenToKeep);
        if (!sure && !says.is(AdvicePhrase::Shorten)) return std::nullopt;
        return lasting(sure ? *advice_.confident_seconds : *advice_.seconds,
                       fmt::format("{}: ", sequence()));
    }

    [[nodiscard]] std::optional<Measure> fewer_runs() const {
        const unsigned sure = advice_.confident_count.value_or(0);
        const unsigned runs = sure > 0 ? sure : *advice_.count;
        const ExposureRow& row = exposed();
        if (!row.timeline_row)
            return lasting(static_cast<double>(runs) * row.run(), fmt::format("{}: ", sequence()));
        const std::string& key = row_key(*row.timeline_row);
        if (key.empty()) return std::nullopt;
        return Measure{fmt::format("{}: {} run{}", sequence(), runs, runs == 1 ? "" : "s"),
                       packed({{key + ".repeat", fmt::format("{}", runs)}})};
    }

    /// Every sequence that the person hears, that much shorter; none where the form does not show
    /// them all.
    [[nodiscard]] std::optional<Measure> scaled(double factor, std::string label,
                                                Fields also) const {
        const std::string& key = trial_.edits().people.at(person_);
        if (key.empty()) return std::nullopt;
        Fields fields;
        for (const SegmentResult& segment : result_.segments) {
            const ExposureRow& row = segment.row;
            if (!row.sequence) continue;
            if (row.timeline_row) {
                if (row_key(*row.timeline_row).empty()) return std::nullopt;
                fields.emplace_back(row_key(*row.timeline_row) + ".duration",
                                    no_longer_than(factor * row.run()));
            } else if (row.task && is_task_shown(*row.task)) {
                fields.emplace_back(fmt::format("{}.task-{}", key, *row.task),
                                    no_longer_than(factor * row.time));
            } else {
                return std::nullopt;
            }
        }
        for (auto& [name, value] : also)
            fields.emplace_back(fmt::format("{}.{}", key, name), value);
        return Measure{std::move(label), packed(fields)};
    }

    [[nodiscard]] std::optional<Measure> shorten_all() const {
        Seconds now{0.0};
        for (const SegmentResult& segment : result_.segments)
            if (segment.row.sequence) now += segment.row.time;
        const Seconds sure = advice_.confident_seconds.value_or(Seconds(0.0));
        const Seconds time = sure.count() > 0.0 ? sure : *advice_.seconds;
        return scaled(time / now, fmt::format("All sequences together {}", no_longer_than(time)),
                      {});
    }

    [[nodiscard]] std::optional<Measure> fewer_sessions() const {
        const unsigned sure = advice_.confident_count.value_or(0);
        const unsigned sessions = sure > 0 ? sure : *advice_.count;
        return one(fmt::format("{} session{} a day", sessions, sessions == 1 ? "" : "s"),
                   {{"sessions", fmt::format("{}", sessions)}});
    }

    /// As the advice counts them (advice_on_days.cpp): a week has no more than seven.
    [[nodiscard]] std::string more_days() const {
        const double days = std::max(result_.person->days_per_week.value_or(1.0), 1.0);
        return fmt::format("{}", std::min(days_of_the_week, days * *advice_.days));
    }

    [[nodiscard]] std::optional<Measure> spread_sessions() const {
        const unsigned now = result_.person->sessions_per_day;
        const unsigned a_day = (now + *advice_.days - 1) / *advice_.days;
        return one(fmt::format("{} a day on {} days", a_day, *advice_.days),
                   {{"sessions", fmt::format("{}", a_day)}, {"days", more_days()}});
    }

    [[nodiscard]] std::optional<Measure> divide_session() const {
        return scaled(1.0 / *advice_.days, fmt::format("Divided among {} days", *advice_.days),
                      {{"days", more_days()}});
    }

    /// As it was judged: well seated and worn all the time.
    [[nodiscard]] std::optional<Measure> wear_instead() const {
        const auto& wears = advice_.wears;
        if (wears.empty() || wears.size() > 2) return std::nullopt;
        return one(fmt::format("Wear {}", short_names_of(plan_.catalogue, wears)),
                   {{"wears", wears[0]},
                    {"wears-2", wears.size() > 1 ? wears[1] : ""},
                    {"worn", ""},
                    {"fit", ""}});
    }

    const Advice& advice_;
    const PersonResult& result_;
    const Trial& trial_;
    const Plan& plan_;
    std::size_t person_;  // index
};

}  // namespace

std::optional<Measure> measure_for(const Advice& advice, const PersonResult& person,
                                   const Trial& trial) {
    return MeasureFor(advice, person, trial).any();
}

}  // namespace earbudget::desk::trying
