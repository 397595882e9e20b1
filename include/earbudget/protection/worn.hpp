#pragma once

#include <optional>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/protection/protector.hpp"

namespace earbudget {

/// What a poorly seated protector is taken to do where about 30 dB was expected
/// (common practice, no source).
inline constexpr LevelDifference poor_fit_reduction{10.0};

/// How a protector is worn by one person.
struct Wearing {
    double fraction_of_time = 1.0;  ///< of the noisy time, 0 to 1
    bool poor_fit = false;

    bool operator==(const Wearing&) const = default;
};

inline constexpr Formula formula_of_fit{
    "L' = LA − reduction; poorly seated LA − min(reduction, 10 dB)",
    "the method's; poorly seated: common practice, no source"};
inline constexpr Formula formula_of_wearing_time{"L = 10 lg(w·10^(L'/10) + (1 − w)·10^(LA/10))",
                                                 "energy sum over the wearing time; derived"};

/// The reduction while worn: as predicted, or no more than a poor fit gives.
[[nodiscard]] LevelDifference reduction_as_fitted(LevelDifference predicted, bool poor_fit);

/// The level at the ear averaged over the time with and without the protector:
/// 10 lg(w·10^(L'/10) + (1 − w)·10^(L/10)), an energy sum; derived.
[[nodiscard]] LevelA level_over_wearing_time(LevelA outside, LevelA while_worn,
                                             double fraction_of_time);

/// What a second protector adds to the higher single rating of a plug under an earmuff. OSHA's
/// technical manual gives it for the NRR (seen in secondary sources); for the other ratings and for
/// octave bands it is taken over from there, by this program.
inline constexpr LevelDifference second_protector_allowance{5.0};

inline constexpr Formula formula_of_pair{
    "L'A of the pair = L'A by the higher rating − 5 dB",
    "OSHA technical manual for the NRR (seen in secondary sources, edition not confirmed); taken "
    "over for others"};
inline constexpr Formula formula_of_pair_bands{
    "mean of the device with the higher APV at 84 % + 5 dB, at most 45 dB (40 dB at 2 kHz), or "
    "what it has where that is more",
    "OSHA technical manual's 5 dB (edition not confirmed), taken over; limits of bone conduction "
    "(memory)"};

/// The attenuation that sound conducted through the skull leaves to any protector in this band
/// (memory: published limits are about 40 dB near 2 kHz and 45 to 60 dB elsewhere; the lower end
/// stands here until a reader confirms the values by band).
[[nodiscard]] LevelDifference bone_conduction_limit(OctaveBand band);

/// A plug and an earmuff worn together, estimated where nobody measured the pair.
///
/// Ratings: the higher of the two; the allowance is added by the method (predict.hpp). The SNR is
/// the higher of those that count for the performance whose α is given (snr_at).
/// Octave bands: the device with the higher assumed protection value at 84 %, its mean plus the
/// allowance, held at the bone conduction limit; a device measured above the limit keeps what was
/// measured and gains nothing. Single ratings are not held there. Where one device has no such
/// datum the other one's counts as the higher, which the true one is not below. H, M, L and PAR: no
/// publication gives an estimate, so none. A device of which nothing is known adds nothing to the
/// other.
[[nodiscard]] AttenuationData estimate_pair(const Protector& plug, const Protector& earmuff,
                                            double alpha);

inline constexpr Formula formula_of_peak_reduction{
    "reduction = M − Ks; of low-frequency noise L − Ks − 5 dB; not stated which: the smaller of "
    "both; at least 0",
    "DGUV Information 212-024, annex 1 (methods from EN 458; editions not confirmed); Ks by TRLV "
    "Lärm part 3, DGUV Regel "
    "112-194; the smaller where not stated and the 0: this program's own"};

/// What is left of a C-weighted peak under a protector, and how it came about.
struct PeakReduction {
    /// Which of the two formulas counts.
    enum class Form { Usual, LowFrequency, SmallerOfBoth };

    LevelDifference M;
    LevelDifference L;
    bool from_octaves = false;  ///< computed by ISO 4869-2 and rounded as a label, not stated
    LevelDifference Ks;         ///< practice deduction of the type, whatever the policy's derating
    Form form = Form::SmallerOfBoth;
    LevelDifference reduction{};  ///< of LC,peak, at least 0
};

/// By how much a well-seated protector that is worn all the time lowers LC,peak. `low_frequency`
/// is whether the noise is stated to be so; none: not stated. H, M and L count as for 84 % of
/// people, stated or computed from octave-band data, since Ks is made for labels.
///
/// None for two worn together, and where H, M and L are neither stated nor to be computed.
[[nodiscard]] std::optional<PeakReduction> peak_reduction(const AttenuationData& worn,
                                                          std::optional<bool> low_frequency);

}  // namespace earbudget
