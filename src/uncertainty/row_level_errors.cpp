#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "earbudget/exposure/limit.hpp"
#include "earbudget/study/sequence.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

namespace {

SoundErrors of(std::string name, StatedUncertainty uncertainty, const Origin& origin) {
    const UncertaintyParts parts = uncertainty.parts;
    return {.name = std::move(name),
            .uncertainty = std::move(uncertainty),
            .parts = parts,
            .measurement = measurement_of(origin)};
}

SoundErrors of_plan(std::string name, const SoundLevels& levels) {
    return of(std::move(name), stated_or_default_uncertainty_in_plan(levels), {});
}

/// Measured by task, each has its own error of every kind, as ISO 9612:2009, C.2 adds them
/// (memory).
SoundErrors of_samples(const Task& task, std::size_t index) {
    SoundErrors errors =
        of("other noise", stated_or_default_uncertainty(*task.levels, {.how = "measured"}), {});
    errors.measurement = fmt::format("task {}", index);
    errors.sampling = sampling_uncertainty(task.LAeq_samples);
    return errors;
}

SoundErrors of_task(const Person& person, std::size_t index) {
    const Task& task = person.tasks[index];
    return task.LAeq_samples.empty() ? of_plan("other noise", *task.levels)
                                     : of_samples(task, index);
}

SoundErrors of_card(const Sequence& sequence, const SoundLevels& levels, const Origin& origin) {
    return of(sequence.id, stated_or_default_uncertainty(levels, origin), origin);
}

SoundErrors at_ear_position(const Plan& plan, const ExposureRow& row) {
    if (!row.sequence) return of_plan("background", *plan.background);
    const Sequence& card = plan.sequences[*row.sequence];
    return of_card(card, card.levels, card.origin);
}

bool is_door_open(const Person& person, const ExposureRow& row) {
    return row.task && person.tasks[*row.task].door_open;
}

}  // namespace

const Transmission& transmission_to(const Plan& plan, const Person& person,
                                    const ExposureRow& row) {
    return plan.positions[*row.position].with(is_door_open(person, row));
}

namespace {

/// Of what is heard by the difference of a position.
SoundErrors moved(const Plan& plan, const Person& person, const ExposureRow& row) {
    const Position& position = plan.positions[*row.position];
    const bool opened = is_door_open(person, row) && position.door_open;
    SoundErrors errors = at_ear_position(plan, row);
    errors.difference =
        transmission_to(plan, person, row).uncertainty.value_or(LevelDifference(0.0));
    errors.place = fmt::format("{}\n{}", position.id, opened);
    return errors;
}

std::optional<SoundErrors> measured_there(const Plan& plan, const Transmission& there,
                                          std::size_t sequence) {
    const auto measured = there.measured.find(sequence);
    if (measured == there.measured.end()) return std::nullopt;
    const auto origin = there.measured_origin.find(sequence);
    return of_card(plan.sequences[sequence], measured->second,
                   origin == there.measured_origin.end() ? Origin{} : origin->second);
}

}  // namespace

std::vector<SoundErrors> level_errors_of(const Plan& plan, const Person& person,
                                         const ExposureRow& row) {
    if (!row.sound) return {};
    if (row.task && person.tasks[*row.task].levels) return {of_task(person, *row.task)};
    if (!row.position) return {at_ear_position(plan, row)};
    const Transmission& there = transmission_to(plan, person, row);
    if (!row.sequence && there.background) return {of_plan("background", *there.background)};
    if (!row.sequence) return {moved(plan, person, row)};
    if (auto measured = measured_there(plan, there, *row.sequence)) return {*std::move(measured)};
    SoundErrors sequence = moved(plan, person, row);
    if (!there.background || row.unreduced) return {std::move(sequence)};
    SoundErrors background = of_plan("background", *there.background);
    background.share =
        std::min(1.0, relative_energy(there.background->LAeq) / relative_energy(row.sound->LAeq));
    sequence.share = 1.0 - background.share;
    return {std::move(sequence), std::move(background)};
}

LevelDifference uncertainty_of_sound(const Plan& plan, const Person& person,
                                     const ExposureRow& row) {
    const SoundErrors own = level_errors_of(plan, person, row).front();
    return LevelDifference(std::hypot(own.uncertainty.whole.dB(), own.difference.dB()));
}

SoundErrors errors_of_unreduced(const Plan& plan, const Person& person, const ExposureRow& row) {
    return of_plan("background", transmission_to(plan, person, row).background.value());
}

namespace {

constexpr Seconds hour = averaging_hour;

}  // namespace

std::vector<Seconds> VariableTimes::lasting(Seconds time) const {
    std::vector<Seconds> times = fixed;
    for (std::size_t i = 0; i < times.size(); ++i)
        times[i] += part[i] * time;
    return times;
}

VariableTimes one_row(const ExposureDay& day, std::size_t row) {
    VariableTimes variable;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const bool varies = i == row || day.rows[i].is_same_plan_row(day.rows[row]);
        variable.fixed.push_back(varies ? Seconds(0.0) : day.rows[i].time);
        variable.part.push_back(varies ? 1.0 : 0.0);
    }
    return variable;
}

Seconds time_of_sequences(const ExposureDay& day) {
    Seconds now(0.0);
    for (const ExposureRow& row : day.rows)
        now += row.sequence ? row.time : Seconds(0.0);
    return now;
}

VariableTimes all_sequences(const ExposureDay& day) {
    const Seconds now = time_of_sequences(day);
    VariableTimes variable;
    for (const ExposureRow& row : day.rows) {
        variable.fixed.push_back(row.sequence ? Seconds(0.0) : row.time);
        variable.part.push_back(row.sequence ? row.time / now : 0.0);
    }
    return variable;
}

std::vector<Seconds> times_of_whole_hours(const VariableTimes& variable,
                                          const std::vector<std::size_t>& course, Seconds most) {
    std::vector<Seconds> times;
    for (std::size_t first = 0; first < course.size(); ++first) {
        Seconds fixed(0.0);
        double part = 0.0;
        for (std::size_t i = first; i < course.size() && fixed <= hour; ++i) {
            fixed += variable.fixed[course[i]];
            part += variable.part[course[i]];
            if (!(part > 0.0)) continue;
            const Seconds time = (hour - fixed) / part;
            if (time > Seconds(0.0) && time < most) times.push_back(time);
        }
    }
    std::sort(times.begin(), times.end());
    times.erase(std::unique(times.begin(), times.end()), times.end());
    return times;
}

Seconds rounded_down(Seconds time, Seconds most) {
    return time == most ? most : Seconds(std::floor(time.count() * 1000.0) / 1000.0);
}

}  // namespace earbudget
