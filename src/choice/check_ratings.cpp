#include "earbudget/choice/check_ratings.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "choice/notes.hpp"
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

/// H, M, L and SNR by one edition, not rounded; none where the data are not whole. `of` is what
/// stands before their names in the keys.
Ratings unrounded(const std::optional<OctaveAttenuation>& octave, RatingEdition edition,
                  const std::string& of, Trace* trace) {
    if (!octave || !hold_all_from_125_Hz(octave->bands())) return {};
    HmlWorking how{alpha_of_labels, Rounding::None, edition};
    const Hml hml = how.of(*octave);
    std::vector<RatingBand> bands;
    const LevelDifference SNR = compute_snr(*octave, alpha_of_labels, edition, &bands);
    if (trace) {
        leave_hml(hml, how, of, *trace);
        StepOf step(
            say<StepPhrase::Unrounded>("SNR"), key_of_rating(of, "SNR"),
            edition == RatingEdition::Of1994 ? formula_of_snr_rating_1994 : formula_of_snr_rating);
        step.value("alpha", alpha_of_labels);
        trace->leave(over_bands(std::move(step), bands, SNR));
    }
    return {.SNR = SNR, .H = hml.H, .M = hml.M, .L = hml.L};
}

LevelDifference unrounded_nrr(const OctaveAttenuation& octave, Trace* trace) {
    std::vector<RatingBand> bands;
    const LevelDifference NRR = compute_nrr(octave, &bands);
    if (trace) {
        StepOf step(say<StepPhrase::Unrounded>("NRR"), {"computed_unrounded.NRR"},
                    formula_of_nrr_rating);
        trace->leave(over_bands(std::move(step), bands, NRR));
    }
    return NRR;
}

/// As on a label.
template <class List>
Ratings rounded(const Ratings& exact, const List& names, const std::string& of,
                const Formula& formula, Trace* trace) {
    Ratings result;
    for (const RatingRow& rating : names) {
        const auto& value = exact.*rating.value;
        if (!value) continue;
        const std::string name(rating.name);
        const bool is_NRR = name == name_of(Rating::NRR);
        auto& label = result.*rating.value;
        label = is_NRR ? rounded_as_nrr_label(*value) : rounded_as_label(*value);
        if (!trace) continue;
        trace->leave(StepOf(say<StepPhrase::AsOnLabel>(name), {of + name},
                            is_NRR ? to_whole_decibels_of_NRR : formula)
                         .value("unrounded_dB", value)
                         .is(label, "dB"));
    }
    return result;
}

void compare(CheckedRatings& result, Trace* trace) {
    for (const RatingRow& rating : ratings_from_octaves) {
        const auto& computed = result.computed.*rating.value;
        const auto& label = result.stated.*rating.value;
        if (!computed || !label) continue;
        const std::string key = key_of("differences", result.comparisons.size(), "difference_dB");
        result.comparisons.push_back({rating.name, *label, *computed});
        if (!trace) continue;
        trace->leave(
            StepOf(say<StepPhrase::StatedAndComputed>(rating.name), {key}, stated_less_computed)
                .value("stated_dB", *label)
                .value("computed_dB", *computed)
                .is(result.comparisons.back().difference(), "dB"));
    }
}

// Everything but the names.
CheckedRatings checked(const std::optional<OctaveAttenuation>& octave, const Ratings& stated,
                       Tracing tracing) {
    CheckedRatings result;
    Trace steps;
    Trace* const trace = tracing == Tracing::On ? &steps : nullptr;
    result.stated = stated;
    result.computed_unrounded =
        unrounded(octave, RatingEdition::Of2018, "computed_unrounded.", trace);
    if (result.computed_unrounded.SNR) {
        result.octave = octave;
        result.computed_unrounded.NRR = unrounded_nrr(*octave, trace);
    }
    result.computed = rounded(result.computed_unrounded, ratings_from_octaves, "computed.",
                              to_whole_decibels, trace);
    result.computed_1994_unrounded =
        unrounded(octave, RatingEdition::Of1994, "computed_1994_unrounded.", trace);
    result.computed_1994 = rounded(result.computed_1994_unrounded, ratings_of_editions,
                                   "computed_1994.", to_whole_decibels_1994, trace);
    compare(result, trace);
    append(result.notes, notes_on_octaves(octave, any_stated(stated)));
    append(result.notes, notes_on_ratings(stated, result.computed));
    append(result.notes, notes_on_comparisons(result.comparisons, octave));
    result.working = steps.take();
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
