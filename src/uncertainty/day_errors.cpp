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
#include "earbudget/exposure/random_draws.hpp"
#include "uncertainty/row_level_errors.hpp"

namespace earbudget {

namespace {

// Sessions beyond share the errors of those before, on the safe side, so that a day of a hundred
// sessions costs no more.
constexpr unsigned most_independent_sessions = 8;

/// Puts a day's errors together row by row.
class Collector {
  public:
    Collector(const Plan& plan, const Person& person, const HearingDay& day)
        : plan_(plan), person_(person), day_(day) {}

    [[nodiscard]] DayErrors collect() && {
        for (std::size_t row = 0; row < day_.rows.size(); ++row) {
            add(row);
            if (day_.rows[row].reinsert) ++insertions_[owner_of(day_.rows[row])];
        }
        set_directions();
        return std::move(errors_);
    }

  private:
    /// What makes two rows one segment.
    using Terms = std::vector<std::pair<std::size_t, double>>;
    using Key = std::tuple<const SoundLevels*, const Prediction*, std::size_t, double, bool, bool,
                           std::optional<double>, std::size_t, Terms>;

    void add(std::size_t index) {
        const HeardRow& row = day_.rows[index];
        auto& there = errors_.segments_of_row.emplace_back();
        const auto sounds = level_errors_of(plan_, person_, row);
        if (sounds.empty()) return;
        const LevelDifference fit = fit_of(row);
        std::vector<SoundErrors> unreduced;
        if (row.unreduced) unreduced.push_back(errors_of_unreduced(plan_, person_, row));
        const bool varies = varies_by_run(sounds) || varies_by_run(unreduced) || fit.dB() > 0.0;
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
            if (row.prediction) segment.protection = protection_of(row, fit, session);
            if (!row.prediction && could_wear(row)) {
                segment.protection = {.reduction = LevelDifference(0.0),
                                      .fraction_worn = row.fraction_worn,
                                      .wearing_time = wearing_time(row)};
            }
            there.push_back(find_or_add(row, std::move(segment)));
        }
    }

    void set_directions() {
        auto& variables = errors_.variables;
        std::vector<double> sizes(variables.size(), 0.0);
        const auto note = [&](const ErrorTerm& term) {
            sizes[term.variable] = std::max(sizes[term.variable], term.size);
        };
        for (const Segment& segment : errors_.segments) {
            std::ranges::for_each(segment.errors, note);
            std::ranges::for_each(segment.errors_of_unreduced, note);
            if (segment.protection && segment.protection->fit) note(*segment.protection->fit);
            if (segment.duration) {
                // A part of the time, as decibels.
                note({segment.duration->variable,
                      segment.duration->size * 10.0 / std::numbers::ln10});
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

    std::optional<ErrorTerm> duration_of(const HeardRow& row) {
        const Task* const task = row.task ? &person_.tasks[*row.task] : nullptr;
        if (!task || !task->duration_range) return std::nullopt;
        return ErrorTerm{variable(ErrorKind::Duration, fmt::format("task {}", *row.task)),
                         task->duration_range->standard_uncertainty() / *task->duration};
    }

    static bool varies_by_run(const std::vector<SoundErrors>& sounds) {
        return std::ranges::any_of(
            sounds, [](const SoundErrors& sound) { return sound.parts.run.dB() > 0.0; });
    }

    /// Nothing is worn, by no task's decision, so that something could be.
    [[nodiscard]] bool could_wear(const HeardRow& row) const {
        return !row.with_protector && !has_own_protection(row);
    }

    void add_terms(const SoundErrors& sound, std::size_t row, unsigned session,
                   std::vector<ErrorTerm>& terms) {
        const auto add = [&](ErrorKind kind, LevelDifference size, const std::string& name) {
            if (!(sound.share * size.dB() > 0.0)) return;
            const std::size_t shared = variable(kind, name);
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

    /// A fit test says how far insertions differ; else the person's own figure does.
    [[nodiscard]] LevelDifference fit_of(const HeardRow& row) const {
        if (!row.prediction) return LevelDifference(0.0);
        return is_fit_tested(row) && person_.PAR_uncertainty ? *person_.PAR_uncertainty
                                                             : person_.fit_uncertainty;
    }

    [[nodiscard]] bool is_fit_tested(const HeardRow& row) const {
        return row.prediction->method == Method::Par && person_.PAR &&
               are_same_set(worn_in(row), person_.wears);
    }

    [[nodiscard]] bool has_own_protection(const HeardRow& row) const {
        return row.task && person_.tasks[*row.task].wears;
    }
    [[nodiscard]] const std::vector<std::string>& worn_in(const HeardRow& row) const {
        return has_own_protection(row) ? *person_.tasks[*row.task].wears : day_.wears;
    }

    /// Whose insertions count: the person's, or those of a task with protectors of its own.
    [[nodiscard]] std::optional<std::size_t> owner_of(const HeardRow& row) const {
        return has_own_protection(row) ? row.task : std::nullopt;
    }

    [[nodiscard]] std::string insertion_of(const HeardRow& row, unsigned session) {
        const auto owner = owner_of(row);
        return fmt::format("{}\n{}\n{}", owner ? fmt::format("task {}", *owner) : "person",
                           insertions_[owner],
                           row.once_a_day ? "once a day" : fmt::format("session {}", session));
    }

    /// Of a task with protectors of its own that which it states; one variable a day for both.
    std::optional<ErrorTerm> wearing_time(const HeardRow& row) {
        const double size = has_own_protection(row) ? person_.tasks[*row.task].worn_uncertainty
                                                    : person_.worn_uncertainty;
        if (!(size > 0.0)) return std::nullopt;
        return ErrorTerm{variable(ErrorKind::WearingTime, ""), size};
    }

    SegmentProtection protection_of(const HeardRow& row, LevelDifference fit, unsigned session) {
        SegmentProtection protection{.reduction = row.prediction->before_holding(),
                                     .poor_fit = row.poor_fit,
                                     .fraction_worn = row.fraction_worn,
                                     .wearing_time = wearing_time(row)};
        if (const PeopleSpread* spread = spread_of(row)) {
            protection.spread = spread;
            protection.people = variable(ErrorKind::People, "");
        }
        // All sounds of a scanner may lie on the same side: one draw, own choice, the widest.
        if (const LevelDifference size = row.prediction->form_uncertainty; size.dB() > 0.0) {
            protection.spectrum = {variable(ErrorKind::Spectrum, ""), size.dB()};
        }
        if (fit.dB() > 0.0) {
            protection.fit = {variable(ErrorKind::Fit, insertion_of(row, session)), fit.dB()};
        }
        return protection;
    }

    /// One for each prediction; null where none is known.
    const PeopleSpread* spread_of(const HeardRow& row) {
        const auto [known, is_new] = spreads_.try_emplace(row.prediction.get(), nullptr);
        if (!is_new) return known->second;
        if (is_fit_tested(row)) return nullptr;
        const double alpha = row.prediction->performance.alpha();
        const auto [attenuation, is_first] = attenuations_.try_emplace({&worn_in(row), alpha});
        if (is_first) {
            WorkMeter::spend(cost::of_pairs(plan_.catalogue.pairs.size()));
            attenuation->second = attenuation_of(plan_.catalogue, worn_in(row), alpha);
        }
        const auto& worn = attenuation->second;
        auto spread = worn ? PeopleSpread::of(*row.sound, *worn, *row.prediction) : std::nullopt;
        if (!spread && worn) {
            spread = PeopleSpread::by_default(*row.prediction);
            if (spread) errors_.people_spread_by_default = true;
        }
        if (!spread) {
            errors_.people_spread_unknown = true;
            return nullptr;
        }
        errors_.spreads.push_back(std::make_unique<const PeopleSpread>(*std::move(spread)));
        return known->second = errors_.spreads.back().get();
    }

    std::size_t variable(ErrorKind kind, const std::string& name) {
        const auto stream = stream_named(fmt::format("{}\n{}", name_of(kind), name));
        const auto [known, is_new] = variables_.try_emplace(stream, errors_.variables.size());
        if (is_new) errors_.variables.push_back({kind, stream});
        return known->second;
    }

    std::size_t find_or_add(const HeardRow& row, Segment segment) {
        Terms terms;
        for (const auto* some : {&segment.errors, &segment.errors_of_unreduced}) {
            for (const ErrorTerm& term : *some)
                terms.emplace_back(term.variable, term.size);
        }
        const auto& protection = segment.protection;
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
    const HearingDay& day_;
    DayErrors errors_;
    std::map<std::uint64_t, std::size_t> variables_;
    std::map<const Prediction*, const PeopleSpread*> spreads_;
    std::map<std::pair<const std::vector<std::string>*, double>, std::optional<AttenuationData>>
        attenuations_;  // by what is worn and alpha
    std::map<Key, std::size_t> segments_;
    std::map<std::optional<std::size_t>, unsigned> insertions_;  // so far, by owner_of
};

}  // namespace

std::string_view name_of(ErrorKind kind) {
    switch (kind) {
        case ErrorKind::Instrument:
            return "instrument or source of the level";
        case ErrorKind::Microphone:
            return "microphone position";
        case ErrorKind::Run:
            return "run to run";
        case ErrorKind::Sampling:
            return "sampling of a task's level";
        case ErrorKind::Duration:
            return "duration of a task";
        case ErrorKind::Difference:
            return "difference of the position";
        case ErrorKind::People:
            return "attenuation between people";
        case ErrorKind::Fit:
            return "fit of the individual";
        case ErrorKind::WearingTime:
            return "wearing time";
        case ErrorKind::Spectrum:
            return "spectrum not known";
    }
    return "";
}

DayErrors errors_of_day(const Plan& plan, const Person& person, const HearingDay& day) {
    return Collector(plan, person, day).collect();
}

}  // namespace earbudget
