#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/day/exposure_day.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/protection/worn.hpp"

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

/// The card behind a row with a sequence: as at its position, or as measured at another.
struct CardBehind {
    const SoundLevels& levels;
    const Origin& origin;
    bool measured_there = true;  ///< or at the ear position, moved by a difference
};
[[nodiscard]] CardBehind card_behind(const Plan& plan, const Person& person,
                                     const ExposureRow& row);

/// The bound on the peak of a row with a sequence; none where the policy has none, for other noise,
/// and where the card was neither measured nor entered (may_be_within). `least` is least_bound_by_measured_cards.
[[nodiscard]] std::optional<PeakBound> peak_bound(const Plan& plan, const Person& person,
                                                  const ExposureRow& row,
                                                  PeakLimit::Weighting weighting,
                                                  std::optional<LevelDifference> least);

/// Why the peak outside counts by a limit at the ear, although something is worn.
enum class WhyOutside { NoHml, NotAllTheTime, PoorlySeated, TwoWorn };

/// The peak of one sound of a day as a limit looks at it.
struct RowPeak {
    std::size_t row = 0;                             ///< the first with this sound
    std::string name = {};                           ///< of the sequence, quoted, or "other noise"
    std::optional<double> stated_dB = std::nullopt;  ///< outside
    bool C_for_unweighted = false;  ///< LCpeak, where the limit is on the unweighted peak
    bool unweighted_for_C = false;  ///< LZpeak alone is stated, the limit is on the C-weighted peak
    LevelDifference uncertainty{0.0};
    std::optional<PeakBound> bound = std::nullopt;     ///< where none is stated
    std::optional<PeakReduction> worn = std::nullopt;  ///< where the limit is at the ear
    /// What counts of it: no more than the person's own fit test gives (own choice).
    LevelDifference reduction{0.0};
    std::optional<WhyOutside> why_outside = std::nullopt;

    /// As the limit looks at it, none where no peak is stated.
    [[nodiscard]] std::optional<double> counted_dB() const;
    /// The highest that it is taken to be: stated, 3 dB up where LCpeak stands for the unweighted
    /// peak, or by the bound; none where there is neither.
    [[nodiscard]] std::optional<double> at_most_dB() const;
    /// Whether a peak that is not stated is within by a bound.
    [[nodiscard]] bool is_within_by_bound(double limit_dB) const;
    /// Probability of a stated peak being over, normal with its uncertainty.
    [[nodiscard]] double probability_over(double limit_dB) const;
};

/// Of every sound of a day that could matter for a peak limit, each once: sequences, other noise,
/// and a background that states a peak. One that states none is no reason to doubt.
[[nodiscard]] std::vector<RowPeak> row_peaks(const PeakLimit& limit, const Plan& plan,
                                             const Person& person, const ExposureDay& day);

}  // namespace earbudget
