#include "earbudget/uncertainty/day_errors.hpp"

#include <algorithm>
#include <compare>
#include <map>
#include <numbers>
#include <numeric>
#include <tuple>

#include <fmt/format.h>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "uncertainty/error_directions.hpp"
#include "uncertainty/protection_errors.hpp"

namespace earbudget {

namespace {

// Sessions beyond share the errors of those before, on the safe side, so that a day of a hundred
// sessions costs no more.
constexpr unsigned most_independent_sessions = 8;

/// Puts a day's errors together row by row.
class Collector {
  public:
    Collector(const Plan& plan, const Person& person, const ExposureDay& day)
        : plan_(plan),
          person_(person),
          day_(day),
          protection_(plan, person, day, variables_, errors_) {}

    [[nodiscard]] DayErrors collect() && {
        for (std::size_t row = 0; row < day_.rows.size(); ++row) {
            add(row);
            protection_.end(day_.rows[row]);
        }
        set_directions(errors_);
        return std::move(errors_);
    }

  private:
    /// What makes two rows one segment.
    using Terms = std::vector<std::pair<std::size_t, double>>;
    using Key = std::tuple<const SoundLevels*, const Prediction*, std::size_t, double, bool, bool,
                           std::optional<double>, std::size_t, Terms>;

    void add(std::size_t index) {
        const ExposureRow& row = day_.rows[index];
        auto& there = errors_.segments_of_row.emplace_back();
        const auto sounds = level_errors_of(plan_, person_, row);
        if (sounds.empty()) return;
        std::vector<SoundErrors> unreduced;
        if (row.unreduced) unreduced.push_back(errors_of_unreduced(plan_, person_, row));
        const bool varies =
            varies_by_run(sounds) || varies_by_run(unreduced) || protection_.fit_of(row).dB() > 0.0;
        const unsigned sessions =
            row.once_a_day || !varies ? 1 : std::min(day_.sessions, most_independent_sessions);
        WorkMeter::spend(cost::errors_of_row * sessions);
        for (unsigned session = 0; session < sessions; ++session) {
            Segment segment{.outside = row.sound->LAeq};
            for (const SoundErrors& sound : sounds)
                add_terms(sound, index, session, segment.errors);
            segment.duration = duration_of(row);
            segment.unreduced = row.unreduced;
            for (const SoundErrors& sound : unreduced)
                add_terms(sound, index, session, segment.errors_of_unreduced);
            segment.protection = protection_.of(row, session);
            there.push_back(find_or_add(row, std::move(segment)));
        }
    }

    std::optional<ErrorTerm> duration_of(const ExposureRow& row) {
        const Task* const task = row.task ? &person_.tasks[*row.task] : nullptr;
        if (!task || !task->duration_range) return std::nullopt;
        return ErrorTerm{variables_.of(ErrorKind::Duration, fmt::format("task {}", *row.task)),
                         task->duration_range->standard_uncertainty() / *task->duration};
    }

    static bool varies_by_run(const std::vector<SoundErrors>& sounds) {
        return std::ranges::any_of(
            sounds, [](const SoundErrors& sound) { return sound.parts.run.dB() > 0.0; });
    }

    void add_terms(const SoundErrors& sound, std::size_t row, unsigned session,
                   std::vector<ErrorTerm>& terms) {
        const auto add = [&](ErrorKind kind, LevelDifference size, const std::string& name) {
            if (!(sound.share * size.dB() > 0.0)) return;
            const std::size_t shared = variables_.of(kind, name);
            const auto same = std::ranges::find(terms, shared, &ErrorTerm::variable);
            if (same == terms.end()) {
                terms.push_back({shared, sound.share * size.dB()});
            } else {
                same->size += sound.share * size.dB();
            }
        };
        add(ErrorKind::Instrument, sound.parts.instrument, sound.measurement);
        add(ErrorKind::Microphone, sound.parts.position, sound.measurement);
        add(ErrorKind::Run, sound.parts.run, fmt::format("{}\n{}\n{}", row, session, sound.name));
        add(ErrorKind::Sampling, sound.sampling, sound.measurement);
        add(ErrorKind::Difference, sound.difference, sound.place);
    }

    std::size_t find_or_add(const ExposureRow& row, Segment segment) {
        Terms terms;
        for (const auto* some : {&segment.errors, &segment.errors_of_unreduced}) {
            for (const ErrorTerm& term : *some)
                terms.emplace_back(term.variable, term.size);
        }
        const auto& protection = segment.protection;
        if (protection && protection->wearing_time)
            terms.emplace_back(protection->wearing_time->variable, protection->wearing_time->size);
        constexpr std::size_t none = static_cast<std::size_t>(-1);
        const Key key{row.sound.get(),
                      row.prediction.get(),
                      protection && protection->fit ? protection->fit->variable : none,
                      row.fraction_worn,
                      protection && protection->poor_fit,
                      protection.has_value(),
                      row.unreduced ? std::optional(row.unreduced->dB()) : std::nullopt,
                      segment.duration ? segment.duration->variable : none,
                      std::move(terms)};
        const auto [known, is_new] = segments_.try_emplace(key, errors_.segments.size());
        if (is_new) errors_.segments.push_back(std::move(segment));
        return known->second;
    }

    const Plan& plan_;
    const Person& person_;
    const ExposureDay& day_;
    DayErrors errors_;
    ErrorVariables variables_{errors_};
    ProtectionErrors protection_;
    std::map<Key, std::size_t> segments_;
};

}  // namespace

void set_directions(DayErrors& errors) {
    auto& variables = errors.variables;
    std::vector<double> sizes(variables.size(), 0.0);
    const auto note = [&](const ErrorTerm& term) {
        sizes[term.variable] = std::max(sizes[term.variable], term.size);
    };
    for (const Segment& segment : errors.segments) {
        std::ranges::for_each(segment.errors, note);
        std::ranges::for_each(segment.errors_of_unreduced, note);
        if (segment.protection && segment.protection->fit) note(*segment.protection->fit);
        if (segment.duration) {
            // A part of the time, as decibels.
            note({segment.duration->variable, segment.duration->size * 10.0 / std::numbers::ln10});
        }
    }
    const auto key = [&](std::size_t n) {
        const ErrorKind kind = variables[n].kind;
        return std::tuple(kind != ErrorKind::People, kind != ErrorKind::WearingTime, -sizes[n],
                          variables[n].stream);
    };
    std::vector<std::size_t> order(variables.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::sort(order, {}, key);
    for (std::size_t n = 0; n < order.size(); ++n)
        variables[order[n]].direction = n;
}

DayErrors errors_of_day(const Plan& plan, const Person& person, const ExposureDay& day) {
    return Collector(plan, person, day).collect();
}

}  // namespace earbudget
