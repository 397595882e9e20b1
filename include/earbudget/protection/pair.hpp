#pragma once

#include <optional>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/protection/protector.hpp"

namespace earbudget {

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
/// the higher of those that count for the performance whose α is given (rating_at_performance.hpp).
/// Octave bands: the device with the higher assumed protection value at 84 %, its mean plus the
/// allowance, held at the bone conduction limit; a device measured above the limit keeps what was
/// measured and gains nothing. Single ratings are not held there. Where one device has no such
/// datum the other one's counts as the higher, which the true one is not below. H, M, L and PAR: no
/// publication gives an estimate, so none. A device of which nothing is known adds nothing to the
/// other.
[[nodiscard]] AttenuationData estimate_pair(const Protector& plug, const Protector& earmuff,
                                            double alpha);

}  // namespace earbudget
