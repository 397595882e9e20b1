#include "earbudget/limits/row_peak.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/uncertainty/day_errors.hpp"

namespace earbudget {

namespace {

// Of a normal error, 95 % do not exceed it.
constexpr double coverage_of_95_percent = 1.64;

// Room above what a few cards show (own choice).
constexpr LevelDifference above_measured{3.0};

const Origin not_stated{};

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

CardBehind card_behind(const Plan& plan, const Person& person, const ExposureRow& row) {
    const Sequence& card = plan.sequences[*row.sequence];
    if (!row.position) return {card.levels, card.origin};
    const Transmission& there = transmission_to(plan, person, row);
    const auto measured = there.measured.find(*row.sequence);
    if (measured == there.measured.end()) return {card.levels, card.origin, false};
    const auto origin = there.measured_origin.find(*row.sequence);
    return {measured->second, origin == there.measured_origin.end() ? not_stated : origin->second};
}

std::optional<PeakBound> peak_bound(const Plan& plan, const Person& person, const ExposureRow& row,
                                    PeakLimit::Weighting weighting,
                                    std::optional<LevelDifference> least) {
    const auto& by_policy = person.policy.peak_at_most_above_LAeq;
    if (!by_policy || !row.sequence) return std::nullopt;
    const CardBehind card = card_behind(plan, person, row);
    if (!may_be_within(card.origin)) return std::nullopt;
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

namespace {

std::string name_of(const Plan& plan, const Person& person, const ExposureRow& row) {
    const auto quoted = [](const std::string& name) { return '"' + name + '"'; };
    if (row.sequence) return quoted(plan.sequences[*row.sequence].id);
    if (!row.task) return "the background";
    const std::string& title = person.tasks[*row.task].title;
    return title.empty() ? "other noise" : quoted(title);
}

bool states(const SoundLevels& levels) { return levels.LCpeak || levels.LZpeak; }

/// A background's peak that was added to a sequence without one is not the sequence's.
bool is_stated(const Plan& plan, const Person& person, const ExposureRow& row) {
    return states(*row.sound) && (!row.sequence || states(card_behind(plan, person, row).levels));
}

/// Where both are stated the higher one counts for an unweighted limit, since C weighting takes
/// nothing from a peak but by its phases. Where LZpeak alone is stated it stands for the C-weighted
/// peak, which is no higher but by phases: the safe side.
void add_stated(const SoundLevels& sound, PeakLimit::Weighting weighting, RowPeak& peak) {
    const auto C = sound.LCpeak ? std::optional(sound.LCpeak->dB()) : std::nullopt;
    const auto Z = sound.LZpeak ? std::optional(sound.LZpeak->dB()) : std::nullopt;
    const bool unweighted = weighting == PeakLimit::Weighting::None;
    if (unweighted && Z) {
        peak.stated_dB = C ? std::max(*C, *Z) : *Z;
    } else {
        peak.stated_dB = C ? C : Z;
        peak.C_for_unweighted = unweighted;
        peak.unweighted_for_C = !C;
    }
}

void wear(const Plan& plan, const Person& person, const ExposureDay& day, const ExposureRow& row,
          RowPeak& peak) {
    if (!row.with_protector) return;
    const auto& own = row.task ? person.tasks[*row.task].wears : std::nullopt;
    const std::vector<std::string> wears =
        what_counts(plan.catalogue, person, own ? *own : day.wears);
    if (wears.size() != 1) {
        peak.why_outside = WhyOutside::TwoWorn;
    } else if (row.poor_fit) {
        peak.why_outside = WhyOutside::PoorlySeated;
    } else if (row.fraction_worn < 1.0) {
        peak.why_outside = WhyOutside::NotAllTheTime;
    } else {
        peak.worn = peak_reduction(plan.catalogue.find(wears.front())->protector.attenuation(),
                                   row.sound->low_frequency);
        if (!peak.worn) peak.why_outside = WhyOutside::NoHml;
    }
    if (!peak.worn) return;
    peak.reduction = peak.worn->reduction;
    const bool fit_tested = row.prediction && row.prediction->method == Method::Par;
    if (fit_tested) peak.reduction = std::min(peak.reduction, row.prediction->reduction);
}

}  // namespace

std::optional<double> RowPeak::counted_dB() const {
    return stated_dB ? std::optional(*stated_dB - reduction.dB()) : std::nullopt;
}

std::optional<double> RowPeak::at_most_dB() const {
    if (const auto counted = counted_dB()) {
        return *counted + (C_for_unweighted ? most_taken_by_C.dB() : 0.0);
    }
    return bound ? std::optional(bound->dB() - reduction.dB()) : std::nullopt;
}

bool RowPeak::is_within_by_bound(double limit_dB) const {
    return !stated_dB && bound && *at_most_dB() - limit_dB <= level_slack.dB();
}

double RowPeak::probability_over(double limit_dB) const {
    const double above = *at_most_dB() - limit_dB;
    if (uncertainty.dB() == 0.0) return above > level_slack.dB() ? 1.0 : 0.0;
    return normal_probability(above / uncertainty.dB());
}

std::vector<RowPeak> row_peaks(const PeakLimit& limit, const Plan& plan, const Person& person,
                               const ExposureDay& day) {
    const auto least = least_bound_by_measured_cards(plan);
    std::vector<RowPeak> peaks;
    // Under different things, if tasks name what is worn.
    std::set<std::pair<const SoundLevels*, std::optional<std::size_t>>> seen;
    for (std::size_t i = 0; i < day.rows.size(); ++i) {
        const ExposureRow& row = day.rows[i];
        if (!row.sound) continue;
        if (!seen.emplace(row.sound.get(), limit.at_ear ? row.task : std::nullopt).second) continue;
        RowPeak peak{.row = i, .name = name_of(plan, person, row)};
        peak.uncertainty = uncertainty_of_sound(plan, person, row);
        if (is_stated(plan, person, row)) {
            add_stated(*row.sound, limit.weighting, peak);
        } else if (row.sequence) {
            peak.bound = peak_bound(plan, person, row, limit.weighting, least);
        } else if (!row.task || !person.tasks[*row.task].levels) {
            continue;
        }
        if (limit.at_ear) wear(plan, person, day, row, peak);
        peaks.push_back(std::move(peak));
    }
    return peaks;
}

}  // namespace earbudget
