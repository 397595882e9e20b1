#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/choice/phrases.hpp"
#include "earbudget/study/catalogue.hpp"

namespace earbudget {

/// The ratings that follow from octave-band data, in the order of results.
inline constexpr auto ratings_from_octaves = rating_rows.where<5>(
    [](const RatingRow& row) { return row.from_octaves != FromOctaves::Never; });

/// Those of them whose rule differs between the editions of ISO 4869-2.
inline constexpr auto ratings_of_editions = rating_rows.where<4>(
    [](const RatingRow& row) { return row.from_octaves == FromOctaves::ByEdition; });

/// Those that a catalogue states and nothing can be held against.
inline constexpr auto ratings_as_stated = rating_rows.where<3>(
    [](const RatingRow& row) { return row.from_octaves == FromOctaves::Never; });

/// Up to here stated and computed agree: labels are made from each subject's data
/// (ISO 4869-2:2018), computed ratings from mean and standard deviation, which may give another
/// whole decibel.
inline constexpr LevelDifference agreement_of_labels{1.0};

/// Beyond this a stated rating cannot be that of the octave data. This program's own choice.
inline constexpr LevelDifference furthest_apart{2.0};

/// A rating that is both stated and computed.
struct RatingComparison {
    std::string_view rating;  ///< its name
    LevelDifference stated;
    LevelDifference computed;  ///< rounded as on a label

    [[nodiscard]] LevelDifference difference() const { return stated - computed; }
    [[nodiscard]] bool agrees() const;    ///< to 1 dB
    [[nodiscard]] bool is_apart() const;  ///< by more than 2 dB
};

/// Something in a catalogue that is likely a mistake in entering it, or keeps it from being used.
struct CatalogueNote {
    Message says;  ///< what was found and what to do about it

    /// As results name it.
    [[nodiscard]] std::string_view code() const {
        return row_of(std::get<ChoicePhrase>(says.phrase)).code;
    }
};

/// One protector or measured pair: the ratings computed from its octave-band data beside those
/// stated. Only the ratings of `ratings_from_octaves` are computed, all of them or none.
struct CheckedRatings {
    std::vector<std::string> ids;  ///< one, or plug and earmuff
    std::string title;
    SourcePosition stated_at;
    Ratings stated;
    std::optional<OctaveAttenuation> octave;  ///< where the ratings are computed from it
    Ratings computed;                         ///< rounded as on a label
    Ratings computed_unrounded;  ///< H, M, L and SNR for a protection performance of 84 %
    /// The same of `ratings_of_editions` by ISO 4869-2:1994, which labels of its time follow:
    /// nothing is predicted with them, nor held against them.
    Ratings computed_1994;
    Ratings computed_1994_unrounded;
    std::vector<RatingComparison> comparisons;
    std::vector<CatalogueNote> notes;
    Working working = {};  ///< where it was asked for
};

/// A whole catalogue, in its own order.
struct RatingsCheck {
    std::vector<CheckedRatings> protectors;
    std::vector<CheckedRatings> pairs;

    /// Whether any stated rating is more than 2 dB from the computed one.
    [[nodiscard]] bool any_apart() const;
};

/// Holds the stated ratings of a catalogue against its octave-band data.
[[nodiscard]] RatingsCheck check_ratings(const Catalogue& catalogue,
                                         Tracing tracing = Tracing::Off);

}  // namespace earbudget
