#include "earbudget/uncertainty/joined_days.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "earbudget/exposure/random_draws.hpp"
#include "uncertainty/error_directions.hpp"

namespace earbudget {

namespace {

/// Whether another day has another error of this kind.
bool is_of_one_day(ErrorKind kind) {
    return kind == ErrorKind::Run || kind == ErrorKind::Fit || kind == ErrorKind::WearingTime;
}

/// Puts days together one by one.
class DayJoiner {
  public:
    void add(const DayOfVisit& visit) {
        DayErrors errors = errors_of_day(*visit.plan, *visit.person, *visit.day);
        const std::vector<std::size_t> places = places_of(errors.variables);
        const std::size_t first = errors_.segments.size();
        for (std::size_t row = 0; row < visit.day->rows.size(); ++row)
            add_row(visit, row, errors, first);
        for (Segment& segment : errors.segments) {
            renumber(segment, places);
            errors_.segments.push_back(std::move(segment));
        }
        std::ranges::move(errors.spreads, std::back_inserter(errors_.spreads));
        errors_.people_spread_unknown |= errors.people_spread_unknown;
        errors_.people_spread_by_default |= errors.people_spread_by_default;
        const auto& unreached = visit.day->unreached;
        day_.unreached.insert(day_.unreached.end(), unreached.begin(), unreached.end());
        if (!day_.method) day_.method = visit.day->method;
        ++days_;
    }

    [[nodiscard]] JoinedDays take() && {
        set_directions(errors_);
        return {std::move(day_), std::make_shared<const DayErrors>(std::move(errors_))};
    }

  private:
    /// Where the variables of a day stand among all.
    std::vector<std::size_t> places_of(const std::vector<ErrorVariable>& variables) {
        std::vector<std::size_t> places;
        for (const ErrorVariable& variable : variables) {
            const bool own = days_ > 0 && is_of_one_day(variable.kind);
            const std::uint64_t stream =
                own ? stream_named(fmt::format("{}\nday {}", variable.stream, days_))
                    : variable.stream;
            const auto [known, is_new] = known_.try_emplace(stream, errors_.variables.size());
            if (is_new) errors_.variables.push_back({variable.kind, stream});
            places.push_back(known->second);
        }
        return places;
    }

    static void renumber(Segment& segment, const std::vector<std::size_t>& places) {
        const auto move = [&](auto& term) { term.variable = places[term.variable]; };
        for (ErrorTerm& term : segment.errors)
            move(term);
        for (ErrorTerm& term : segment.errors_of_unreduced)
            move(term);
        if (segment.duration) move(*segment.duration);
        if (!segment.protection) return;
        SegmentProtection& protection = *segment.protection;
        if (protection.people) protection.people = places[*protection.people];
        for (auto* term : {&protection.fit, &protection.spectrum, &protection.wearing_time})
            if (*term) move(**term);
    }

    /// A row with all its sessions and days, once for each segment that it has there.
    void add_row(const DayOfVisit& visit, std::size_t index, const DayErrors& errors,
                 std::size_t first) {
        const ExposureRow& row = visit.day->rows[index];
        std::map<std::optional<std::size_t>, unsigned> sessions;
        for (unsigned session = 0; session < visit.day->times_a_day(row); ++session)
            ++sessions[errors.segment_of(index, session)];
        for (const auto& [segment, times] : sessions) {
            ExposureRow whole = row;
            whole.time *= static_cast<double>(times) * static_cast<double>(visit.times);
            whole.once_a_day = false;
            // Of another plan's lists.
            whole.sequence = whole.position = whole.task = whole.timeline_row = std::nullopt;
            day_.rows.push_back(std::move(whole));
            auto& there = errors_.segments_of_row.emplace_back();
            if (segment) there.push_back(first + *segment);
        }
    }

    ExposureDay day_ = {};
    DayErrors errors_ = {};
    std::map<std::uint64_t, std::size_t> known_ = {};  ///< variables by stream
    unsigned days_ = 0;
};

}  // namespace

JoinedDays join_days(const std::vector<DayOfVisit>& days) {
    DayJoiner joiner;
    for (const DayOfVisit& one : days)
        joiner.add(one);
    return std::move(joiner).take();
}

}  // namespace earbudget
