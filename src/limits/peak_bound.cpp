#include "earbudget/limits/peak_bound.hpp"

#include <algorithm>

#include "uncertainty/row_level_errors.hpp"

namespace earbudget {

namespace {

// Of a normal error, 95 % do not exceed it.
constexpr double coverage_of_95_percent = 1.64;

// Room above what a few cards show (own choice).
constexpr LevelDifference above_measured{3.0};

const Origin not_stated{};

const Transmission& transmission_to(const Plan& plan, const Person& person, const HeardRow& row) {
    const bool door_open = row.task && person.tasks[*row.task].door_open;
    return plan.positions[*row.position].with(door_open);
}

/// Peaks go by the largest difference of any band, as a stated peak does.
LevelDifference difference_of_peaks(const SoundLevels& levels, const Transmission& there) {
    SoundLevels with_peak = levels;
    with_peak.LCpeak = PeakLevelC(levels.LAeq.dB());
    const auto moved = sound_there(with_peak, there);
    return moved && moved->LCpeak ? *moved->LCpeak - *with_peak.LCpeak : LevelDifference(0.0);
}

void raise(std::optional<LevelDifference>& largest, const SoundLevels& levels,
           const std::string& how) {
    if (how != "measured") return;
    const auto raise_by = [&](double peak_dB) {
        const LevelDifference above(peak_dB - levels.LAeq.dB());
        largest = largest ? std::max(*largest, above) : above;
    };
    // The unweighted peak is no lower than the C-weighted one but by phases.
    if (levels.LCpeak) raise_by(levels.LCpeak->dB());
    if (levels.LZpeak) raise_by(levels.LZpeak->dB());
}

void raise(std::optional<LevelDifference>& largest, const Transmission& there) {
    for (const auto& [sequence, levels] : there.measured) {
        const auto origin = there.measured_origin.find(sequence);
        raise(largest, levels,
              origin == there.measured_origin.end() ? std::string() : origin->second.how);
    }
}

}  // namespace

double PeakBound::dB() const {
    return (LAeq + above + difference + for_unweighted).dB() + coverage_of_95_percent * u.dB();
}

std::optional<LevelDifference> least_bound_by_measured_cards(const Plan& plan) {
    std::optional<LevelDifference> largest;
    for (const Sequence& card : plan.sequences)
        raise(largest, card.levels, card.origin.how);
    for (const Position& position : plan.positions) {
        raise(largest, position.door_shut);
        if (position.door_open) raise(largest, *position.door_open);
    }
    return largest ? std::optional(*largest + above_measured) : std::nullopt;
}

bool may_be_bounded(const Origin& origin) {
    return origin.how.empty() || origin.how == "measured" || origin.how == "entered";
}

CardBehind card_behind(const Plan& plan, const Person& person, const HeardRow& row) {
    const Sequence& card = plan.sequences[*row.sequence];
    if (!row.position) return {card.levels, card.origin};
    const Transmission& there = transmission_to(plan, person, row);
    const auto measured = there.measured.find(*row.sequence);
    if (measured == there.measured.end()) return {card.levels, card.origin, false};
    const auto origin = there.measured_origin.find(*row.sequence);
    return {measured->second, origin == there.measured_origin.end() ? not_stated : origin->second};
}

std::optional<PeakBound> peak_bound(const Plan& plan, const Person& person, const HeardRow& row,
                                    PeakLimit::Weighting weighting,
                                    std::optional<LevelDifference> least) {
    const auto& by_policy = person.policy.peak_at_most_above_LAeq;
    if (!by_policy || !row.sequence) return std::nullopt;
    const CardBehind card = card_behind(plan, person, row);
    if (!may_be_bounded(card.origin)) return std::nullopt;
    PeakBound bound{.LAeq = card.levels.LAeq,
                    .above = std::max(*by_policy, least.value_or(*by_policy)),
                    .u = uncertainty_of_sound(plan, person, row)};
    bound.by_measured_cards = bound.above > *by_policy;
    if (!card.measured_there) {
        bound.difference = difference_of_peaks(card.levels, transmission_to(plan, person, row));
    }
    if (weighting == PeakLimit::Weighting::None) bound.for_unweighted = most_taken_by_C;
    return bound;
}

}  // namespace earbudget
