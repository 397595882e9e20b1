#include "earbudget/uncertainty/joined_days.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "earbudget/computing/add_once.hpp"
#include "earbudget/exposure/random_draws.hpp"
#include "uncertainty/error_directions.hpp"

namespace earbudget {

namespace {

/// Whether another day has another error of this kind.
bool is_of_one_day(ErrorKind kind) {
    return kind == ErrorKind::Run || kind == ErrorKind::Fit || kind == ErrorKind::WearingTime;
}

/// Names the variables of a segment by their places among others.
template <class PlaceOf>
void renumber(Segment& segment, const PlaceOf& place_of) {
    const auto move = [&](ErrorTerm& term) { term.variable = place_of(term.variable); };
    std::ranges::for_each(segment.errors, move);
    std::ranges::for_each(segment.errors_of_unreduced, move);
    if (segment.duration) move(*segment.duration);
    if (!segment.protection) return;
    SegmentProtection& protection = *segment.protection;
    if (protection.people) protection.people = place_of(*protection.people);
    for (auto* term : {&protection.fit, &protection.spectrum, &protection.wearing_time})
        if (*term) move(**term);
}

}  // namespace

/// One part as it is added.
class DayJoiner::Part {
  public:
    Part(DayJoiner& joiner, const ExposureDay& day, const DayErrors& errors,
         const StreamOf& stream_of, const Adding& how)
        : joiner_(joiner),
          day_(day),
          errors_(errors),
          stream_of_(stream_of),
          how_(how),
          segments_(errors.segments.size()) {}

    void add_all_errors() {
        for (const ErrorVariable& variable : errors_.variables)
            static_cast<void>(joiner_.place_of(variable, stream_of_));
        if (how_.merges) return;
        for (std::size_t n = 0; n < segments_.size(); ++n)
            static_cast<void>(segment(n));
    }

    /// A row with all its sessions and days, once for each segment that it has there.
    void add_row(std::size_t index) {
        const ExposureRow& row = day_.rows[index];
        std::map<std::optional<std::size_t>, unsigned> sessions;
        for (unsigned session = 0; session < day_.times_a_day(row); ++session)
            ++sessions[errors_.segment_of(index, session)];
        for (const auto& [there, times] : sessions) {
            ExposureRow whole = row;
            whole.time *= static_cast<double>(times) * how_.factor;
            whole.once_a_day = false;
            // Of another plan's lists.
            whole.sequence = whole.position = whole.task = whole.timeline_row = std::nullopt;
            joiner_.day_.rows.push_back(std::move(whole));
            auto& segments = joiner_.errors_.segments_of_row.emplace_back();
            if (there) segments.push_back(segment(*there));
        }
    }

  private:
    /// Where a segment of the part stands among all.
    std::size_t segment(std::size_t of_part) {
        auto& known = segments_[of_part];
        if (known) return *known;
        Segment moved = errors_.segments[of_part];
        renumber(moved, [&](std::size_t variable) {
            return joiner_.place_of(errors_.variables[variable], stream_of_);
        });
        known = joiner_.place_of(std::move(moved), how_.merges);
        return *known;
    }

    DayJoiner& joiner_;
    const ExposureDay& day_;
    const DayErrors& errors_;
    const StreamOf& stream_of_;
    const Adding& how_;
    std::vector<std::optional<std::size_t>> segments_;
};

void DayJoiner::add(const ExposureDay& day, const DayErrors& errors, const StreamOf& stream_of,
                    const Adding& how) {
    Part part(*this, day, errors, stream_of, how);
    if (!how.wanted) part.add_all_errors();
    for (std::size_t row = 0; row < day.rows.size(); ++row)
        if (!how.wanted || how.wanted(day.rows[row])) part.add_row(row);
    for (const auto& spread : errors.spreads)
        add_once(spread, errors_.spreads);
    errors_.people_spread_unknown |= errors.people_spread_unknown;
    errors_.people_spread_by_default |= errors.people_spread_by_default;
    day_.unreached.insert(day_.unreached.end(), day.unreached.begin(), day.unreached.end());
    if (!day_.method) day_.method = day.method;
}

void DayJoiner::add_silence(Seconds time) {
    day_.rows.push_back({.time = time});
    errors_.segments_of_row.emplace_back();
}

std::size_t DayJoiner::place_of(const ErrorVariable& variable, const StreamOf& stream_of) {
    const std::uint64_t stream = stream_of(variable);
    const auto [known, is_new] = known_.try_emplace(stream, errors_.variables.size());
    if (is_new) errors_.variables.push_back({variable.kind, stream});
    return known->second;
}

std::size_t DayJoiner::place_of(Segment segment, bool merges) {
    auto& all = errors_.segments;
    if (merges) {
        const auto [first, last] = alike_.equal_range(segment.outside.dB());
        const auto same =
            std::find_if(first, last, [&](const auto& one) { return all[one.second] == segment; });
        if (same != last) return same->second;
        alike_.emplace(segment.outside.dB(), all.size());
    }
    all.push_back(std::move(segment));
    return all.size() - 1;
}

JoinedDays DayJoiner::take() && {
    set_directions(errors_);
    return {std::move(day_), std::make_shared<const DayErrors>(std::move(errors_))};
}

JoinedDays join_days(const std::vector<DayOfVisit>& days) {
    DayJoiner joiner;
    for (std::size_t n = 0; n < days.size(); ++n) {
        const DayOfVisit& one = days[n];
        const DayErrors errors = errors_of_day(*one.plan, *one.person, *one.day);
        const auto stream_of = [n](const ErrorVariable& variable) {
            const bool own = n > 0 && is_of_one_day(variable.kind);
            return own ? stream_named(fmt::format("{}\nday {}", variable.stream, n))
                       : variable.stream;
        };
        joiner.add(*one.day, errors, stream_of, {.factor = static_cast<double>(one.times)});
    }
    return std::move(joiner).take();
}

}  // namespace earbudget
