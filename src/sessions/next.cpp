#include "sessions/next.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

#include "earbudget/limits/shorten.hpp"
#include "report/words/words.hpp"
#include "sessions/asked_windows.hpp"

namespace earbudget::sessions {

namespace {

using Parts = std::vector<Heard>;

constexpr std::int64_t an_hour_ms = 60 * 60 * 1000;
constexpr Seconds longest_day = Hours(24);

std::int64_t ms_of(Seconds time) { return std::llround(time.count() * 1000.0); }

/// One window with the runs that are asked about behind what was heard in it.
class WindowWithRuns {
  public:
    WindowWithRuns(const AskedWindow& asked, const Person& person, const Parts& runs,
                   const Calendar& calendar)
        : person_(person) {
        PartJoiner joiner(calendar, asked.window == Window::Hour ? Order::InTime : Order::Any);
        for (const Heard& part : asked.parts)
            joiner.add(part);
        // Silence until now stands before the first of them, whichever comes.
        for (const Heard& run : runs)
            joiner.add(run);
        JoinedDays joined = std::move(joiner).take();
        with_runs_ = std::move(joined.day);
        errors_ = std::move(joined.errors);
        find_rows(runs);
        as_it_is_ = with_runs_;
        for (std::size_t row = first_; row < as_it_is_.rows.size(); ++row)
            as_it_is_.rows[row].time = Seconds(0.0);
        settings_.draws = draws_of(asked.parts.empty() ? runs : asked.parts);
    }

    /// The most runs by the best estimate, and of these with no more than the accepted probability.
    struct Fit {
        unsigned best_estimate = 0;
        unsigned confident = 0;
    };
    [[nodiscard]] Fit fit(std::size_t run, unsigned most, unsigned most_confident) {
        if (!budget_) budget_.emplace(person_, with_runs_);
        const VariableTimes times = times_with(run);
        const auto best = best_estimate_runs(*budget_, times, most);
        if (!best || *best == 0) return {};
        if (!over_now_) over_now_ = drawn().perhaps_over();
        if (*over_now_) return {*best, 0};
        return {*best, drawn().confident_runs(times, std::min(*best, most_confident))};
    }

    /// The criterion that one run more than these would be over; null where none would.
    [[nodiscard]] const Criterion* over_with(std::size_t run, unsigned runs,
                                             bool by_best_estimate) {
        const std::vector<Seconds> then = times_with(run).lasting(Seconds(runs));
        ExposureDay day = as_it_is_;
        for (std::size_t row = 0; row < then.size(); ++row)
            day.rows[row].time = then[row];
        for (std::size_t n = 0; n < person_.policy.criteria.size(); ++n) {
            const Criterion& criterion = person_.policy.criteria[n];
            const bool over = is_over(criterion, parts_for(criterion, day));
            if (over || (!by_best_estimate && drawn().perhaps_over_one(n, {.times = then})))
                return &criterion;
        }
        return nullptr;
    }

  private:
    void find_rows(const Parts& runs) {
        std::size_t rows = 0;
        for (const Heard& run : runs)
            rows += run.exposure->day.rows.size();
        first_ = with_runs_.rows.size() - rows;
        std::size_t row = first_;
        for (const Heard& run : runs) {
            begins_.push_back(row);
            row += run.exposure->day.rows.size();
        }
        begins_.push_back(row);
    }

    [[nodiscard]] VariableTimes times_with(std::size_t run) const {
        VariableTimes times;
        for (std::size_t row = 0; row < as_it_is_.rows.size(); ++row) {
            const bool grows = row >= begins_[run] && row < begins_[run + 1];
            times.fixed.push_back(as_it_is_.rows[row].time);
            times.part.push_back(grows ? with_runs_.rows[row].time.count() : 0.0);
        }
        return times;
    }

    [[nodiscard]] const MonteCarloDay& drawn() {
        if (!drawn_) drawn_.emplace(settings_, person_, as_it_is_, errors_);
        return *drawn_;
    }

    Person person_;
    ExposureDay with_runs_ = {};  ///< each run once
    ExposureDay as_it_is_ = {};   ///< each run for no time
    std::shared_ptr<const DayErrors> errors_ = nullptr;
    std::size_t first_ = 0;
    std::vector<std::size_t> begins_ = {};  ///< of each run's rows, and their end
    Plan settings_{.title = {}};
    std::optional<DayBudget> budget_ = std::nullopt;
    std::optional<MonteCarloDay> drawn_ = std::nullopt;
    std::optional<bool> over_now_ = std::nullopt;
};

/// The worst verdict of peak limits that decide, with one more run, and whose.
struct PeakVerdict {
    Verdict verdict = Verdict::Within;
    std::string criterion = {};
};

PeakVerdict peaks_with(const Parts& of_day, const Heard& run, const Person& person) {
    Parts all = of_day;
    all.push_back(run);
    PeakVerdict worst;
    std::vector<Warning> said_elsewhere;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!criterion.peak || !decides(criterion, person)) continue;
        const auto result = judge_peaks(criterion, person, peaks_in(all, *criterion.peak),
                                        unmeasured_in(all), said_elsewhere);
        if (result && result->by_probability() > worst.verdict)
            worst = {result->by_probability(), criterion.id};
    }
    return worst;
}

/// All windows and all runs that are asked about.
class Asking {
  public:
    Asking(const HeardByPerson& heard, const std::vector<RunAsked>& runs, Role role,
           std::int64_t session, Instant now, const Calendar& calendar)
        : runs_(runs) {
        Instant begin = now;
        for (const Heard& part : heard.parts)
            begin = std::max(begin, part.when.to);
        const LocalDay day = calendar.day_of(now);
        for (std::size_t n = 0; n < runs.size(); ++n)
            if (runs[n].exposure) add(n, heard, session, begin);
        std::vector<AskedWindow> windows = windows_of(heard.parts, day, begin, calendar);
        of_day_ = windows.front().parts;
        const Span today = calendar.span_of(day);
        for (const Heard& part : of_day_)
            heard_today_ += part.when.within(today).time();
        person_ = judged_in(windows, asked_, role);
        if (!person_) return;
        for (const AskedWindow& asked : questions_of(windows, *person_)) {
            is_heard_unknown_ = is_heard_unknown_ || is_any_unknown(asked.parts);
            const Person some = with_deciding(*person_, asked.criteria);
            if (!some.policy.criteria.empty()) windows_.emplace_back(asked, some, asked_, calendar);
        }
    }

    [[nodiscard]] RunsLeft left(std::size_t run, bool is_stopped) {
        RunsLeft left{
            .id = runs_[run].id, .time = runs_[run].time, .why_unknown = runs_[run].why_unknown};
        if (is_stopped) {
            left.limiting = Limiting::Stopped;
        } else if (!runs_[run].exposure) {
            left.limiting = Limiting::LevelUnknown;
        } else if (!person_ || windows_.empty() || lacks_limit_of_age(*person_)) {
            left.limiting = Limiting::NoLimit;
        } else if (is_heard_unknown_) {
            left.limiting = Limiting::HeardUnknown;
        } else {
            find(run, left);
        }
        return left;
    }

  private:
    void add(std::size_t n, const HeardByPerson& heard, std::int64_t session, Instant begin) {
        std::int64_t insertion = 0;
        for (const Heard& part : heard.parts)
            if (part.session == session) insertion = std::max(insertion, part.insertion);
        places_[n] = asked_.size();
        asked_.push_back(
            {.when = {begin, {begin.ms + std::max<std::int64_t>(1, ms_of(runs_[n].time))}},
             .entry = -1 - static_cast<std::int64_t>(n),
             .session = session,
             .insertion = insertion,
             .name = runs_[n].id,
             .exposure = runs_[n].exposure});
    }

    /// The day's hours begin an hour before now at the latest, so that an hour across midnight is
    /// seen.
    static std::vector<AskedWindow> windows_of(const Parts& parts, LocalDay day, Instant begin,
                                               const Calendar& calendar) {
        std::vector<AskedWindow> windows;
        for (const Window window : all_windows) {
            Span span = span_of(window, day, calendar);
            if (window == Window::Hour)
                span.from = std::min(span.from, Instant{begin.ms - an_hour_ms});
            span.to = std::max(span.to, begin);
            windows.push_back({window, cut_to(span, parts)});
        }
        return windows;
    }

    void find(std::size_t run, RunsLeft& left) {
        const Heard& asked = asked_[places_.at(run)];
        const PeakVerdict peaks = peaks_with(of_day_, asked, *person_);
        if (peaks.verdict > Verdict::Close) {
            left.limiting = peaks.verdict == Verdict::Over ? Limiting::Peak : Limiting::PeakUnknown;
            left.limited_by = peaks.criterion;
            return;
        }
        const double room = (longest_day - heard_today_) / runs_[run].time;
        const auto most = static_cast<unsigned>(std::clamp(room + arithmetic_slack, 0.0, 1e6));
        left.runs = left.best_estimate = most;
        WindowWithRuns* limiting = nullptr;
        for (WindowWithRuns& window : windows_) {
            const auto fit = window.fit(places_.at(run), left.best_estimate, left.runs);
            if (fit.confident < left.runs || fit.best_estimate < left.best_estimate)
                limiting = &window;
            left.best_estimate = fit.best_estimate;
            left.runs = std::min(left.runs, fit.confident);
        }
        if (peaks.verdict == Verdict::Close) {
            left.runs = 0;
            left.limiting = Limiting::Peak;
            left.limited_by = peaks.criterion;
        } else if (limiting) {
            name_limit(run, left);
        }
    }

    /// Of the windows that keep no more, the first with a limit that one run more would be over.
    void name_limit(std::size_t run, RunsLeft& left) {
        for (const bool by_best_estimate : {true, false}) {
            for (WindowWithRuns& window : windows_) {
                const Criterion* const over =
                    window.over_with(places_.at(run), left.runs + 1, by_best_estimate);
                if (!over) continue;
                left.limited_by = over->id;
                left.limiting = asked_[places_.at(run)].exposure->is_unreached()
                                    ? Limiting::NoMethod
                                    : Limiting::Exposure;
                return;
            }
        }
    }

    const std::vector<RunAsked>& runs_;
    Parts asked_ = {};
    std::map<std::size_t, std::size_t> places_ = {};  ///< of runs in `asked_`
    Parts of_day_ = {};
    Seconds heard_today_{0.0};
    std::optional<Person> person_ = std::nullopt;
    bool is_heard_unknown_ = false;
    std::vector<WindowWithRuns> windows_ = {};
};

}  // namespace

RunAsked run_of(const Plan& plan, const Person& worn, std::size_t sequence, Seconds time,
                const Provenance& provenance) {
    RunAsked asked{.id = plan.sequences[sequence].id, .time = time};
    auto exposure = record_of_run(plan, worn, sequence, provenance);
    if (exposure) {
        asked.exposure = std::make_shared<const ExposureRecord>(*std::move(exposure));
    } else {
        asked.why_unknown = earbudget::text_of(exposure.obstacle());
    }
    return asked;
}

std::vector<RunAsked> runs_of_plan(const Plan& plan, const Person& worn,
                                   const Provenance& provenance) {
    std::vector<RunAsked> runs;
    std::set<std::size_t> seen;
    for (const TimelineRow& row : plan.timeline) {
        if (row.sequence && seen.insert(*row.sequence).second)
            runs.push_back(run_of(plan, worn, *row.sequence, row.duration, provenance));
    }
    return runs;
}

Next next_runs(const HeardByPerson& heard, const std::vector<RunAsked>& runs, Role role,
               std::int64_t session, Instant now, Judge& judge) {
    Next next;
    if (const HeardEvent* stop = heard.stop()) next.stop = *stop;
    const LocalDay day = judge.calendar().day_of(now);
    next.so_far = judge.at(heard.parts, now, role);
    const Span week = span_of(Window::SevenDays, day, judge.calendar());
    for (const Heard& part : heard.parts)
        if (part.unconfirmed && !part.when.within(week).empty())
            next.unconfirmed.push_back(part.entry);
    Asking asking(heard, runs, role, session, now, judge.calendar());
    for (std::size_t run = 0; run < runs.size(); ++run)
        next.sequences.push_back(asking.left(run, next.stop.has_value()));
    return next;
}

}  // namespace earbudget::sessions
