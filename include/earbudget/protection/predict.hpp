#pragma once

#include <array>
#include <optional>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/acoustics/sound_levels.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/protection/derating.hpp"
#include "earbudget/protection/method.hpp"
#include "earbudget/protection/method_formulas.hpp"
#include "earbudget/protection/protector.hpp"

namespace earbudget {

/// How attenuation is to be turned into a level at the ear: what a facility decides.
struct PredictionRules {
    std::optional<Method> method = std::nullopt;  ///< none: the best that the data allow
    Derating derating = {};
    ProtectionPerformance performance{84.0};

    bool operator==(const PredictionRules&) const = default;
};

// Why something stated cannot be computed with, and what is accepted: of protection, of what is
// worn together, of positions, of levels that contradict each other.
// clang-format off
#define EARBUDGET_OBSTACLES(row) \
    row(NoOctaveData, "") row(NoDataInBands, "l") row(NoOctaveLevels, "") \
    row(NoLevelInBands, "l") row(NoCLevel, "n") row(NoSnrOfTwo, "") row(NoRatingNorOctaves, "s") \
    row(NoRating, "s") row(NoHmlOfTwo, "") row(NoRatingAtAll, "") row(DeratingUndefined, "sss") \
    row(DeratingOfTwoUndefined, "sss") row(ByBestMethod, "sm") row(ForPerson, "sm") row(NoLevelAtPosition, "sm") \
    row(MoreThanTwo, "") row(TwoEarmuffs, "") row(TwoPlugs, "") row(CapUnderEarmuff, "") row(PadBesideAnother, "") \
    row(LevelOutside, "snnn") row(UncertaintyOutside, "nn") row(OctavesOffLAeq, "nnnnnn") \
    row(OctaveAOffOctave, "nsnnn") row(AAboveC, "nnn") row(AAboveZ, "nnn") \
    row(CBelowOctaves, "nnn") row(LowFrequencyAgainstC, "nn") row(PeakBelowAverage, "snn")
// clang-format on
EARBUDGET_PHRASES(ObstaclePhrase, EARBUDGET_OBSTACLES)

/// Why a level at the ear cannot be predicted, and what would mend it.
struct Unavailable {
    enum class Cause {
        Sound,        ///< the sequence card (or background) lacks a level
        Protector,    ///< the protector lacks a rating or octave data
        Combination,  ///< no publication defines the method with this derating or performance
    };
    Cause cause;
    Message says;  ///< an ObstaclePhrase: what is missing and what to enter, without a subject
};

inline constexpr Formula formula_of_reduction{
    "reduction = LA − L'A − deduction, at least 0",
    "definition; no level at the ear is above the one outside: this program's own"};

inline constexpr Formula formula_of_spread_over_spectra{
    "u = the larger of 2 dB and the standard deviation of the reduction over the cards with bands",
    "own choice (docs/uncertainty.md)"};
inline constexpr Formula formula_of_reduction_by_M{"reduction by M = M − deduction, at least 0",
                                                   "EN 458, HML check (edition not confirmed)"};

/// The reduction of the A-weighted level by what is worn, and how it came about.
struct Prediction {
    Method method;
    Derating derating;
    /// That for which it holds: as asked, or that of a label where only a label is known.
    ProtectionPerformance performance;
    LevelA LA;                                             ///< outside
    std::optional<LevelC> LC = std::nullopt;               ///< outside, where the method used it
    std::optional<LevelDifference> rating = std::nullopt;  ///< SNR, NRR, … before derating
    std::optional<Hml> hml = std::nullopt;                 ///< where the method used it
    std::optional<Hml> hml_of_labels =
        std::nullopt;                  ///< where its slope counts (method_formulas.hpp)
    bool rating_from_octaves = false;  ///< computed, not stated on the label
    MethodForm form = MethodForm::AsDefined;
    /// Standard uncertainty (k = 1) of the reduction by what is not known of the sound's spectrum;
    /// 0 where it is known.
    LevelDifference form_uncertainty = {};
    /// From LA alone: the reductions, before any other rule, between which that lies.
    std::optional<std::array<LevelDifference, 2>> form_ends = std::nullopt;
    /// HML check by L: the reduction that M would give, after the derating.
    std::optional<LevelDifference> reduction_by_M = std::nullopt;
    /// The performance asked for, where a label for 84 % had to do.
    std::optional<ProtectionPerformance> asked_of_label = std::nullopt;
    bool estimated_pair = false;    ///< two protectors that nobody measured together
    bool one_unknown = false;       ///< and of one nothing is known
    bool starts_at_63_Hz = false;   ///< octave method
    bool LC_without_63_Hz = false;  ///< LC summed from octave bands that begin at 125 Hz
    /// Octave method: the sound's level in the bands that it leaves out.
    std::optional<LevelA> left_out = std::nullopt;
    std::optional<NrrRule> nrr_rule = std::nullopt;  ///< where the method used it
    /// Octave method and ratings computed from octave data: that of what is worn; none where the
    /// SNR is that of one of an estimated pair.
    std::optional<OctaveAttenuation> octave = std::nullopt;
    /// What a second protector adds where the method's rule adds it (worn.hpp); else 0.
    LevelDifference second_protector = {};
    LevelDifference by_method = {};  ///< LA − L'A by the method
    LevelDifference deduction = {};  ///< what the derating takes off
    LevelDifference reduction = {};  ///< by_method − deduction, at least 0
    bool raised_to_zero = false;     ///< the difference was negative

    /// by_method − deduction, possibly below 0: what people, fit and more reduction are added to.
    /// Only what is met in the end is held at 0.
    [[nodiscard]] LevelDifference before_holding() const { return by_method - deduction; }
};

/// That no publication defines a derating with a method; none where one does.
[[nodiscard]] std::optional<Unavailable> undefined_combination(Derating::Kind derating,
                                                               Method method);

/// Finds what stands in the way of a method; none when it can be computed.
[[nodiscard]] std::optional<Unavailable> find_obstacle(Method method, const SoundLevels& sound,
                                                       const AttenuationData& worn,
                                                       const PredictionRules& rules);

/// Half a folder's worth of other spectra may be alike by chance: the least standard uncertainty of
/// a reduction through a borrowed spectrum (own choice).
inline constexpr LevelDifference least_uncertainty_of_borrowed_spectrum{2.0};

/// Predicts the reduction by one method. Call find_obstacle first: an obstacle is an error here
/// and throws std::logic_error.
[[nodiscard]] Prediction predict(Method method, const SoundLevels& sound,
                                 const AttenuationData& worn, const PredictionRules& rules);

}  // namespace earbudget
