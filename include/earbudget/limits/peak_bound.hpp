#pragma once

#include <optional>
#include <string>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/day/heard_row.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// An unweighted peak lies above the C-weighted one by what the weighting takes off: no more than
/// this between 31.5 Hz and 8 kHz (IEC 61672-1, table 3).
inline constexpr LevelDifference most_taken_by_C{3.0};

inline constexpr Formula formula_of_peak_bound{
    "L = LAeq + above + 1.64·u, 3 dB more where the limit is unweighted; at a position by its "
    "difference",
    "this program's own: above by the policy (peak_at_most_above_LAeq), no less than the largest "
    "LCpeak − LAeq of the plan's measured cards + 3 dB"};

/// What a peak that no card states is at most taken to be.
struct PeakBound {
    LevelA LAeq;            ///< of the card, at its position
    LevelDifference above;  ///< of LCpeak over LAeq: by the policy, or by the measured cards
    bool by_measured_cards = false;
    LevelDifference u;                 ///< standard uncertainty of the sound where it is heard
    LevelDifference difference{};      ///< of the position, added to peaks
    LevelDifference for_unweighted{};  ///< 3 dB or 0

    /// With a probability of 5 % or less above it, where the bound holds at all.
    [[nodiscard]] double dB() const;
};

/// The largest LCpeak − LAeq of the plan's measured cards, at the ear position or elsewhere, and
/// 3 dB; none where no measured card states a peak.
[[nodiscard]] std::optional<LevelDifference> least_bound_by_measured_cards(const Plan& plan);

/// Whether the bound may stand in for the peak of a card that came about in this way: measured or
/// entered, or not said, which is entered by somebody; nothing guessed, declared or predicted.
[[nodiscard]] bool may_be_bounded(const Origin& origin);

/// The card behind a row with a sequence: as at its position, or as measured at another.
struct CardBehind {
    const SoundLevels& levels;
    const Origin& origin;
    bool measured_there = true;  ///< or at the ear position, moved by a difference
};
[[nodiscard]] CardBehind card_behind(const Plan& plan, const Person& person, const HeardRow& row);

/// The bound on the peak of a row with a sequence; none where the policy has none, for other noise,
/// and where the card was not measured or entered. `least` is least_bound_by_measured_cards.
[[nodiscard]] std::optional<PeakBound> peak_bound(const Plan& plan, const Person& person,
                                                  const HeardRow& row,
                                                  PeakLimit::Weighting weighting,
                                                  std::optional<LevelDifference> least);

}  // namespace earbudget
