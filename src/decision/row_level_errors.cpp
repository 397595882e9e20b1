#include "decision/row_level_errors.hpp"

#include <fmt/format.h>

#include "earbudget/study/stated_uncertainty.hpp"

namespace earbudget {

namespace {

RowLevelErrors of_plan(const SoundLevels& levels) {
    return {.parts = stated_or_default_uncertainty_in_plan(levels).parts,
            .measurement = measurement_of({}),
            .place = {}};
}

RowLevelErrors of_card(const SoundLevels& levels, const Origin& origin) {
    return {.parts = stated_or_default_uncertainty(levels, origin).parts,
            .measurement = measurement_of(origin),
            .place = {}};
}

/// Of what is heard by the difference of a position.
RowLevelErrors moved(RowLevelErrors errors, const Transmission& transmission, std::string place) {
    errors.difference = transmission.uncertainty.value_or(LevelDifference(0.0));
    errors.place = std::move(place);
    return errors;
}

}  // namespace

std::optional<RowLevelErrors> level_errors_of(const Plan& plan, const Person& person,
                                              const HeardRow& row) {
    if (!row.sound) return std::nullopt;
    if (row.task && person.tasks[*row.task].levels) return of_plan(*row.sound);
    const auto at_ear_position = [&] {
        if (!row.sequence) return of_plan(*plan.background);
        const Sequence& card = plan.sequences[*row.sequence];
        return of_card(card.levels, card.origin);
    };
    if (!row.position) return at_ear_position();
    const Position& position = plan.positions[*row.position];
    const bool door_open = row.task && person.tasks[*row.task].door_open;
    const Transmission& there = position.with(door_open);
    if (!row.sequence && there.background) return of_plan(*there.background);
    if (row.sequence) {
        const auto measured = there.measured.find(*row.sequence);
        if (measured != there.measured.end()) {
            const auto origin = there.measured_origin.find(*row.sequence);
            return of_card(measured->second,
                           origin == there.measured_origin.end() ? Origin{} : origin->second);
        }
    }
    const bool opened = door_open && position.door_open;
    return moved(at_ear_position(), there, fmt::format("{}\n{}", position.id, opened));
}

}  // namespace earbudget
