#include "earbudget/choice/check_ratings.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "choice/catalogue_notes.hpp"
#include "earbudget/acoustics/level.hpp"
#include "earbudget/acoustics/step_phrases.hpp"
#include "earbudget/protection/rating_from_octaves.hpp"
#include "earbudget/protection/ratings.hpp"
#include "protection/traced.hpp"

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
    for (const RatingRow& rating : ratings_from_octaves) {
        if (const auto& value = exact.*rating.value)
            result.*rating.value = rounded_as_label(*value);
    }
    if (exact.NRR) result.NRR = rounded_as_nrr_label(*exact.NRR);
    return result;
}

void append(std::vector<CatalogueNote>& notes, std::vector<CatalogueNote> more) {
    std::move(more.begin(), more.end(), std::back_inserter(notes));
}

constexpr Formula to_whole_decibels{"to the nearest whole decibel",
                                    "ISO 4869-2:2018, clauses 7 and 8"};
constexpr Formula to_whole_decibels_1994{"to the nearest whole decibel",
                                         "ISO 4869-2:1994, clauses 7 and 8 (memory)"};
constexpr Formula to_whole_decibels_of_NRR{"to the nearest whole decibel, .5 downwards",
                                           "40 CFR 211.207"};
constexpr Formula stated_less_computed{"difference = stated − computed", "difference"};

template <class List>
void leave_rounding(const Ratings& unrounded, const Ratings& rounded, const List& names,
                    const std::string& of, const Formula& formula, Trace& trace) {
    for (const RatingRow& rating : names) {
        const std::string name(rating.name);
        trace.leave(StepOf(say<StepPhrase::AsOnLabel>(name), {of + name},
                           name == "NRR" ? to_whole_decibels_of_NRR : formula)
                        .value("unrounded_dB", unrounded.*rating.value)
                        .is(rounded.*rating.value, "dB"));
    }
}

void leave_edition(const OctaveAttenuation& octave, const Ratings& exact, RatingEdition edition,
                   const std::string& of, Trace& trace) {
    leave_hml(octave, alpha_of_labels, {*exact.H, *exact.M, *exact.L}, {Rounding::None, edition},
              of, trace);
    StepOf step(
        say<StepPhrase::Unrounded>("SNR"), key_of_rating(of, "SNR"),
        edition == RatingEdition::Of1994 ? formula_of_snr_rating_1994 : formula_of_snr_rating);
    step.value("alpha", alpha_of_labels);
    trace.leave(
        over_bands(std::move(step), bands_of_snr(octave, alpha_of_labels, edition), exact.SNR));
}

/// How the ratings computed from octave-band data came about.
Working working_of(const CheckedRatings& checked) {
    if (!checked.octave) return {};
    Trace trace;
    const OctaveAttenuation& octave = *checked.octave;
    const Ratings& exact = checked.computed_unrounded;
    leave_edition(octave, exact, RatingEdition::Of2018, "computed_unrounded.", trace);
    trace.leave(over_bands(StepOf(say<StepPhrase::Unrounded>("NRR"), {"computed_unrounded.NRR"},
                                  formula_of_nrr_rating),
                           bands_of_nrr(octave), exact.NRR));
    leave_rounding(exact, checked.computed, ratings_from_octaves, "computed.", to_whole_decibels,
                   trace);
    const Ratings& of_1994 = checked.computed_1994_unrounded;
    leave_edition(octave, of_1994, RatingEdition::Of1994, "computed_1994_unrounded.", trace);
    leave_rounding(of_1994, checked.computed_1994, ratings_of_editions, "computed_1994.",
                   to_whole_decibels_1994, trace);
    for (std::size_t n = 0; n < checked.comparisons.size(); ++n) {
        const RatingComparison& comparison = checked.comparisons[n];
        trace.leave(StepOf(say<StepPhrase::StatedAndComputed>(comparison.rating),
                           {key_of("differences", n, "difference_dB")}, stated_less_computed)
                        .value("stated_dB", comparison.stated)
                        .value("computed_dB", comparison.computed)
                        .is(comparison.difference(), "dB"));
    }
    return trace.take();
}

// Everything but the names.
CheckedRatings checked(const std::optional<OctaveAttenuation>& octave, const Ratings& stated,
                       Tracing tracing) {
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
    for (const RatingRow& rating : ratings_from_octaves) {
        const auto& computed = result.computed.*rating.value;
        const auto& label = stated.*rating.value;
        if (computed && label) result.comparisons.push_back({rating.name, *label, *computed});
    }
    append(result.notes, notes_on_octaves(octave, any_stated(stated)));
    append(result.notes, notes_on_ratings(stated, result.computed));
    append(result.notes, notes_on_comparisons(result.comparisons, octave));
    if (tracing == Tracing::On) result.working = working_of(result);
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

RatingsCheck check_ratings(const Catalogue& catalogue, Tracing tracing) {
    RatingsCheck result;
    for (const CatalogueEntry& entry : catalogue.protectors) {
        const Protector& protector = entry.protector;
        CheckedRatings one = checked(protector.octave, protector.ratings, tracing);
        one.ids = {protector.id};
        one.title = protector.title;
        one.stated_at = entry.stated_at;
        result.protectors.push_back(std::move(one));
    }
    for (const MeasuredPair& pair : catalogue.pairs) {
        CheckedRatings one = checked(pair.attenuation.octave, pair.attenuation.ratings, tracing);
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
