#include "sessions/windows.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "earbudget/advice/assess_study.hpp"
#include "earbudget/computing/add_once.hpp"
#include "earbudget/exposure/limit.hpp"
#include "earbudget/exposure/random_draws.hpp"

namespace earbudget::sessions {

namespace {

constexpr std::int64_t half_an_hour_ms = 30 * 60 * 1000;

}  // namespace

Window window_of(const Criterion& criterion) {
    if (criterion.quantity == ExposureQuantity::WeeklyDose) return Window::SevenDays;
    if (criterion.weekly_average) return Window::CalendarWeek;
    return accumulation_of(criterion.quantity) == Accumulation::HighestHour ? Window::Hour
                                                                            : Window::Day;
}

Span span_of(Window window, LocalDay day, const Calendar& calendar) {
    constexpr int last_of_week = static_cast<int>(days_of_week) - 1;
    switch (window) {
        case Window::Day:
            break;
        case Window::Hour: {
            const Span all = calendar.span_of(day);
            return {{all.from.ms - half_an_hour_ms}, {all.to.ms + half_an_hour_ms}};
        }
        case Window::SevenDays:
            return calendar.span_of(day + -last_of_week, day);
        case Window::CalendarWeek:
            return calendar.span_of(monday_of(day), monday_of(day) + last_of_week);
    }
    return calendar.span_of(day);
}

std::vector<Heard> cut_to(const Span& span, const std::vector<Heard>& parts) {
    std::vector<Heard> within;
    for (const Heard& part : parts) {
        const Span when = part.when.within(span);
        if (when.empty()) continue;
        within.push_back(part);
        within.back().when = when;
    }
    return within;
}

DayJoiner::StreamOf PartJoiner::streams_of(const Heard& part) {
    const std::size_t insertion = insertions_({part.session, part.insertion});
    const std::size_t run = runs_({part.session, part.entry, part.insertion});
    const std::size_t day = days_(calendar_.day_of(part.when.from));
    return [=](const ErrorVariable& variable) {
        const auto own = [&](const char* what, std::size_t number) {
            return stream_named(fmt::format("{}\n{} {}", variable.stream, what, number));
        };
        switch (variable.kind) {
            case ErrorKind::Run:
                return own("run", run);
            case ErrorKind::Fit:
                return own("insertion", insertion);
            case ErrorKind::WearingTime:
                return own("day", day);
            default:
                return variable.stream;
        }
    };
}

void PartJoiner::add(const Heard& part) {
    if (!part.exposure) return;
    if (order_ == Order::InTime && end_ && *end_ < part.when.from)
        joiner_.add_silence(Span{*end_, part.when.from}.time());
    end_ = std::max(end_.value_or(part.when.to), part.when.to);
    joiner_.add(part.exposure->day, part.exposure->errors, streams_of(part),
                {.factor = part.when.time().count(), .merges = true});
}

JoinedDays join(std::span<const Heard> parts, const Calendar& calendar, Order order) {
    PartJoiner joiner(calendar, order);
    for (const Heard& part : parts)
        joiner.add(part);
    return std::move(joiner).take();
}

std::vector<Message> unmeasured_in(std::span<const Heard> parts) {
    std::vector<Message> all;
    for (const Heard& part : parts) {
        if (!part.exposure) continue;
        for (const Message& one : part.exposure->unmeasured)
            add_once(one, all);
    }
    return all;
}

std::vector<RowPeak> peaks_in(std::span<const Heard> parts, const PeakLimit& limit) {
    std::vector<RowPeak> all;
    std::vector<const ExposureRecord*> seen;
    for (const Heard& part : parts) {
        const ExposureRecord* const record = part.exposure.get();
        if (!record || std::ranges::find(seen, record) != seen.end()) continue;
        seen.push_back(record);
        const auto& peaks = record->peaks_by(limit);
        all.insert(all.end(), peaks.begin(), peaks.end());
    }
    return all;
}

bool is_any_unknown(std::span<const Heard> parts) {
    return std::ranges::any_of(parts, [](const Heard& part) { return !part.exposure; });
}

}  // namespace earbudget::sessions
