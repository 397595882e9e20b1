#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "earbudget/day/hearing_day.hpp"
#include "earbudget/limits/peak_bound.hpp"
#include "earbudget/protection/peak.hpp"

namespace earbudget {

/// Why the peak outside counts by a limit at the ear, although something is worn.
enum class WhyOutside { NoHml, NotAllTheTime, PoorlySeated, TwoWorn };

/// The peak of one sound of a day as a limit looks at it.
struct RowPeak {
    std::size_t row = 0;                             ///< the first with this sound
    std::string name = {};                           ///< of the sequence, or of other noise
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
                                             const Person& person, const HearingDay& day);

}  // namespace earbudget
