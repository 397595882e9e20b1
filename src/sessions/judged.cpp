#include "sessions/judged.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "earbudget/exposure/limit.hpp"

namespace earbudget::sessions {

namespace {

using Parts = std::vector<Heard>;

/// Averages and time are those of what ran, rests left out.
DayExposure exposure_of(const Parts& parts, const Calendar& calendar) {
    DayExposure exposure = earbudget::exposure_of(join(parts, calendar, Order::InTime).day);
    Parts ran = parts;
    std::erase_if(ran,
                  [](const Heard& part) { return part.kind == HeardKind::Rest || !part.exposure; });
    exposure.time = Seconds(0.0);
    for (const Heard& part : ran)
        exposure.time += part.when.time();
    const auto over_that = [&](std::optional<LevelA> LEX) {
        if (!LEX || !(exposure.time.count() > 0.0)) return std::optional<LevelA>();
        return std::optional(*LEX + difference_of_energy_ratio(reference_day / exposure.time));
    };
    const ExposureDay day = join(ran, calendar, Order::Any).day;
    exposure.LAeq = over_that(daily_exposure_level(day.outside()));
    exposure.at_ear_LAeq = over_that(daily_exposure_level(day.at_ear()));
    return exposure;
}

void append(const void* data, std::size_t size, std::string& key) {
    key.append(static_cast<const char*>(data), size);
}

/// All that a window's judgement hangs on. Entries, sessions and days count by which are the same.
void append(const AskedWindow& asked, const Calendar& calendar, std::string& key) {
    std::map<std::int64_t, std::int64_t> entries, sessions, insertions, days;
    const auto number = [](auto& all, std::int64_t thing) {
        return all.try_emplace(thing, static_cast<std::int64_t>(all.size())).first->second;
    };
    std::int64_t end = asked.parts.empty() ? 0 : asked.parts.front().when.from.ms;
    key += static_cast<char>('0' + static_cast<int>(asked.window));
    for (const Heard& part : asked.parts) {
        const std::int64_t gap = asked.window == Window::Day || asked.window == Window::Hour
                                     ? part.when.from.ms - end
                                     : 0;
        end = std::max(end, part.when.to.ms);
        const std::int64_t numbers[] = {static_cast<std::int64_t>(part.kind),
                                        part.when.to.ms - part.when.from.ms,
                                        gap,
                                        number(entries, part.entry),
                                        number(sessions, part.session),
                                        number(insertions, part.insertion),
                                        number(days, calendar.day_of(part.when.from).number)};
        const ExposureRecord* const record = part.exposure.get();
        append(numbers, sizeof numbers, key);
        append(&record, sizeof record, key);
    }
}

/// Where how loud something was is not known, only what is over is decided.
void leave_unknown(CriterionResult& result) {
    result.verdict = std::max(result.verdict, Verdict::Unknown);
    result.limited_by_origin = false;
}

/// None where the criterion has no limit on peaks, or nothing was heard that should have one.
std::optional<CriterionResult> judge_peak_of(const Criterion& criterion, const Parts& of_day,
                                             const Person& person) {
    if (!criterion.peak) return std::nullopt;
    std::vector<Warning> said_elsewhere;
    auto peak = judge_peaks(criterion, person, peaks_in(of_day, *criterion.peak),
                            sessions::unmeasured_in(of_day), said_elsewhere);
    if (peak && is_any_unknown(of_day)) leave_unknown(*peak);
    return peak;
}

}  // namespace

const CriterionResult* Judged::tightest() const {
    std::vector<const CriterionResult*> limits;
    for (const CriterionResult& result : criteria)
        limits.push_back(&result);
    return tightest_of(limits);
}

/// Each exposure limit where it stands among the person's criteria.
void Judge::judge_exposures(const std::vector<AskedWindow>& windows, const Person& person,
                            std::vector<std::optional<CriterionResult>>& exposures,
                            Judged& judged) const {
    for (const AskedWindow& asked : questions_of(windows, person)) {
        const auto some = std::make_shared<const Person>(with_criteria(person, asked.criteria));
        judged.as_judged.push_back(some);
        const Order order = asked.window == Window::Hour ? Order::InTime : Order::Any;
        auto results =
            judge_joined(draws_of(asked.parts), *some, join(asked.parts, calendar_, order),
                         sessions::unmeasured_in(asked.parts), drawn_);
        if (is_any_unknown(asked.parts)) std::ranges::for_each(results, leave_unknown);
        for (std::size_t n = 0; n < results.size(); ++n)
            exposures[asked.criteria[n]] = std::move(results[n]);
    }
}

Judged Judge::judge(const std::vector<AskedWindow>& windows, Role role) const {
    Judged judged;
    const Parts none;
    const bool has_day = windows.front().window == Window::Day;
    const Parts& of_day = has_day ? windows.front().parts : none;
    judged.exposure = exposure_of(of_day, calendar_);
    for (const AskedWindow& window : windows)
        judged.is_level_unknown = judged.is_level_unknown || is_any_unknown(window.parts);
    const bool is_week = windows.front().window == Window::CalendarWeek;
    const auto found = is_week ? averaged_in(windows.front(), role) : judged_in(windows, {}, role);
    if (!found) return judged;
    const auto person = std::make_shared<const Person>(*found);
    judged.as_judged.push_back(person);
    std::vector<std::optional<CriterionResult>> exposures(person->policy.criteria.size());
    judge_exposures(windows, *person, exposures, judged);
    for (std::size_t n = 0; n < exposures.size(); ++n) {
        if (exposures[n]) judged.criteria.push_back(*std::move(exposures[n]));
        if (auto peak = judge_peak_of(person->policy.criteria[n], of_day, *person))
            judged.criteria.push_back(*std::move(peak));
    }
    const auto recorded = is_week ? judged_as(windows.front().parts, role) : found;
    for (CriterionResult& result : judged.criteria) {
        result.decides = decides(*result.criterion, *person) &&
                         std::ranges::find(recorded->policy.criteria, *result.criterion) !=
                             recorded->policy.criteria.end();
    }
    if (lacks_limit_of_age(*person)) leave_undecided(judged.criteria);
    judged.verdict = judged.criteria.empty() ? Verdict::Unknown : Verdict::Within;
    for (const CriterionResult& result : judged.criteria)
        if (result.decides) judged.verdict = std::max(judged.verdict, result.verdict);
    return judged;
}

std::shared_ptr<const Judged> Judge::known_or_judged(const Parts& parts, LocalDay day, Role role,
                                                     const std::vector<Window>& windows,
                                                     std::optional<Instant> until,
                                                     std::optional<Instant> hours_from) {
    std::string key(1, static_cast<char>('0' + static_cast<int>(role)));
    std::vector<SharedRecord> records;
    std::vector<AskedWindow> cut;
    for (const Window window : windows) {
        Span span = span_of(window, day, calendar_);
        if (until) span.to = std::max(span.to, *until);
        if (hours_from && window == Window::Hour) span.from = std::min(span.from, *hours_from);
        cut.push_back({window, cut_to(span, parts)});
        append(cut.back(), calendar_, key);
        for (const Heard& part : cut.back().parts)
            records.push_back(part.exposure);
    }
    const auto known = known_.find(key);
    if (known != known_.end()) return known->second.judged;
    ++judged_;
    auto judged = std::make_shared<const Judged>(judge(cut, role));
    if (known_.size() >= most_known) known_.clear();
    known_.emplace(std::move(key), Known{std::move(records), judged});
    return judged;
}

std::shared_ptr<const Judged> Judge::day(const Parts& parts, LocalDay day, Role role) {
    return known_or_judged(parts, day, role, {Window::Day, Window::Hour});
}

std::shared_ptr<const Judged> Judge::week(const Parts& parts, LocalDay day, Role role,
                                          Window window) {
    return known_or_judged(parts, day, role, {window});
}

std::shared_ptr<const Judged> Judge::now(const Parts& parts, LocalDay day, Role role,
                                         std::optional<Instant> until) {
    return known_or_judged(parts, day, role, {all_windows.begin(), all_windows.end()}, until);
}

std::shared_ptr<const Judged> Judge::at(const Parts& parts, Instant moment, Role role) {
    constexpr std::int64_t hour_ms = 60 * 60 * 1000;
    return known_or_judged(parts, calendar_.day_of(moment), role,
                           {all_windows.begin(), all_windows.end()}, std::nullopt,
                           Instant{moment.ms - hour_ms});
}

}  // namespace earbudget::sessions
