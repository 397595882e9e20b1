#pragma once

#include <optional>

#include "earbudget/protection/protection_performance.hpp"
#include "earbudget/protection/ratings.hpp"

namespace earbudget {

/// A rating of ISO 4869-2:2018 for a protection performance.
template <class Rating>
struct RatingAt {
    Rating value;
    bool from_octaves = false;  ///< else as the label states it
    bool of_84 = false;         ///< a label, which holds for 84 %, for want of octave data
};

/// The SNR that counts for a protection performance, whose α is given: at 84 % the label's, which
/// is made for it, else that of the octave data, rounded as a label is, else the label's all the
/// same. None where neither is there.
///
/// Where the label and the octave data disagree, that of a stricter performance than 84 % is never
/// above the label and that of a laxer one never below it, so that whoever asks for more is never
/// told of more (own choice).
[[nodiscard]] std::optional<RatingAt<LevelDifference>> snr_at(
    const Ratings& label, const std::optional<OctaveAttenuation>& octave, double alpha);

/// H, M and L in the same way; a label counts where it states all three.
[[nodiscard]] std::optional<RatingAt<Hml>> hml_at(const Ratings& label,
                                                  const std::optional<OctaveAttenuation>& octave,
                                                  double alpha);

}  // namespace earbudget
