#include "earbudget/choice/check_ratings.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "choice/catalogue_notes.hpp"
#include "earbudget/acoustics/arithmetic_slack.hpp"
#include "earbudget/protection/nrr.hpp"
#include "earbudget/protection/protection_performance.hpp"

namespace earbudget {

namespace {

bool differs_by_more(const RatingComparison& comparison, LevelDifference limit) {
    const LevelDifference difference = comparison.difference();
    // Decimals as typed are no exact binary numbers: 30.1 − 28 must not be more than 2.1.
    return std::max(difference, -difference) > limit + level_slack;
}

Ratings unrounded(const std::optional<OctaveAttenuation>& octave, RatingEdition edition) {
    if (!octave || !hold_all_from_125_Hz(octave->bands())) return {};
    const Hml hml = compute_hml(*octave, alpha_of_labels, edition);
    return {
        .SNR = compute_snr(*octave, alpha_of_labels, edition), .H = hml.H, .M = hml.M, .L = hml.L};
}

Ratings rounded(const Ratings& exact) {
    Ratings result;
    for (const NamedRating& rating : ratings_from_octaves) {
        if (const auto& value = exact.*rating.value)
            result.*rating.value = rounded_as_label(*value);
    }
    if (exact.NRR) result.NRR = rounded_as_nrr_label(*exact.NRR);
    return result;
}

void append(std::vector<CatalogueNote>& notes, std::vector<CatalogueNote> more) {
    std::move(more.begin(), more.end(), std::back_inserter(notes));
}

bool states_any(const Ratings& ratings) {
    const auto stated = [&ratings](const NamedRating& r) { return (ratings.*r.value).has_value(); };
    return std::any_of(ratings_from_octaves.begin(), ratings_from_octaves.end(), stated) ||
           std::any_of(ratings_as_stated.begin(), ratings_as_stated.end(), stated);
}

// Everything but the names.
CheckedRatings checked(const std::optional<OctaveAttenuation>& octave, const Ratings& stated) {
    CheckedRatings result;
    result.stated = stated;
    result.computed_unrounded = unrounded(octave, RatingEdition::Of2018);
    if (result.computed_unrounded.SNR) {
        result.octave = octave;
        result.computed_unrounded.NRR = compute_nrr(*octave);
    }
    result.computed = rounded(result.computed_unrounded);
    result.computed_1994_unrounded = unrounded(octave, RatingEdition::Of1994);
    result.computed_1994 = rounded(result.computed_1994_unrounded);
    for (const NamedRating& rating : ratings_from_octaves) {
        const auto& computed = result.computed.*rating.value;
        const auto& label = stated.*rating.value;
        if (computed && label) result.comparisons.push_back({rating.name, *label, *computed});
    }
    append(result.notes, notes_on_octaves(octave, states_any(stated)));
    append(result.notes, notes_on_ratings(stated, result.computed));
    append(result.notes, notes_on_comparisons(result.comparisons, octave));
    return result;
}

}  // namespace

bool RatingComparison::agrees() const { return !differs_by_more(*this, agreement_of_labels); }

bool RatingComparison::is_apart() const { return differs_by_more(*this, furthest_apart); }

bool RatingsCheck::any_apart() const {
    const auto apart = [](const CheckedRatings& checked) {
        return std::any_of(checked.comparisons.begin(), checked.comparisons.end(),
                           [](const RatingComparison& c) { return c.is_apart(); });
    };
    return std::any_of(protectors.begin(), protectors.end(), apart) ||
           std::any_of(pairs.begin(), pairs.end(), apart);
}

RatingsCheck check_ratings(const Catalogue& catalogue) {
    RatingsCheck result;
    for (const CatalogueEntry& entry : catalogue.protectors) {
        const Protector& protector = entry.protector;
        CheckedRatings one = checked(protector.octave, protector.ratings);
        one.ids = {protector.id};
        one.title = protector.title;
        one.stated_at = entry.stated_at;
        result.protectors.push_back(std::move(one));
    }
    for (const MeasuredPair& pair : catalogue.pairs) {
        CheckedRatings one = checked(pair.attenuation.octave, pair.attenuation.ratings);
        append(one.notes, notes_on_pair(pair, catalogue));
        one.ids = {pair.plug, pair.earmuff};
        one.title = fmt::format("{} and {}", catalogue.find(pair.plug)->protector.title,
                                catalogue.find(pair.earmuff)->protector.title);
        one.stated_at = pair.stated_at;
        result.pairs.push_back(std::move(one));
    }
    return result;
}

}  // namespace earbudget
