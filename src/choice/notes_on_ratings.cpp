#include <cmath>

#include "choice/catalogue_notes.hpp"

namespace earbudget {

namespace {

using Rating = std::optional<LevelDifference>;

// SNR is taken from LC, and pink noise has LC − LA = 1.5 dB: it lies above M and at most so much
// above H; the rest is room for two roundings. This program's own choice.
constexpr LevelDifference highest_SNR_above_H{3.0};

bool below(const Rating& a, const Rating& b) { return a && b && *a < *b; }

// How far the rating that should be the higher one lies below the other.
LevelDifference inversion(const Ratings& ratings, const NamedRating& upper,
                          const NamedRating& lower) {
    const Rating& high = ratings.*upper.value;
    const Rating& low = ratings.*lower.value;
    return high && low ? *low - *high : LevelDifference(0.0);
}

// Stated the wrong way round, where the octave data do not say the same to the 1 dB that labels may
// differ by.
void look_at_order(std::vector<CatalogueNote>& notes, const NamedRating& upper,
                   const NamedRating& lower, const Ratings& stated, const Ratings& computed) {
    const LevelDifference stated_by = inversion(stated, upper, lower);
    const LevelDifference computed_by = inversion(computed, upper, lower);
    const bool as_the_data =
        computed_by > LevelDifference(0.0) && stated_by <= computed_by + agreement_of_labels;
    if (stated_by <= LevelDifference(0.0) || as_the_data) return;
    notes.push_back({say<ChoicePhrase::RatingBelow>(upper.name, *(stated.*upper.value), lower.name,
                                                    *(stated.*lower.value))});
}

void look_at_SNR(std::vector<CatalogueNote>& notes, const Ratings& stated) {
    if (below(stated.SNR, stated.M))
        notes.push_back({say<ChoicePhrase::SNRBelowM>(*stated.SNR, *stated.M)});
    if (stated.SNR && stated.H && *stated.SNR > *stated.H + highest_SNR_above_H)
        notes.push_back({say<ChoicePhrase::SNRAboveH>(*stated.SNR, *stated.H)});
    if (below(stated.SNR, stated.NRR))
        notes.push_back({say<ChoicePhrase::NRRAboveSNR>(*stated.NRR, *stated.SNR)});
}

void look_at_unit(std::vector<CatalogueNote>& notes, const NamedRating& rating,
                  const Ratings& stated) {
    const Rating& value = stated.*rating.value;
    if (!value) return;
    if (value->dB() > 0.0 && value->dB() < 1.0)
        notes.push_back({say<ChoicePhrase::UnitOfRating>(rating.name, *value)});
    if (*value > highest_attenuation) {
        notes.push_back(
            {say<ChoicePhrase::RatingTooHigh>(rating.name, *value, highest_attenuation)});
    }
}

// 31 for 13: the commonest slip of all; 0 when the value is not of two digits.
double digits_swapped(LevelDifference value) {
    const double dB = value.dB();
    if (dB != std::floor(dB) || dB < 10.0 || dB > 99.0) return 0.0;
    const double tens = std::floor(dB / 10.0);
    return 10.0 * (dB - 10.0 * tens) + tens;
}

Message apart(const RatingComparison& comparison) {
    const RatingComparison swapped{
        comparison.rating, LevelDifference(digits_swapped(comparison.stated)), comparison.computed};
    return say<ChoicePhrase::StatedForComputed>(
        comparison.rating, comparison.stated, comparison.computed, comparison.difference(),
        swapped.stated != LevelDifference(0.0) && swapped.agrees());
}

}  // namespace

std::vector<CatalogueNote> notes_on_ratings(const Ratings& stated, const Ratings& computed) {
    std::vector<CatalogueNote> notes;
    const auto& [SNR, H, M, L, NRR] = ratings_from_octaves;
    for (const NamedRating& rating : ratings_from_octaves)
        look_at_unit(notes, rating, stated);
    for (const NamedRating& rating : ratings_as_stated)
        look_at_unit(notes, rating, stated);
    look_at_order(notes, H, M, stated, computed);
    look_at_order(notes, M, L, stated, computed);
    if (!stated.M) look_at_order(notes, H, L, stated, computed);
    look_at_SNR(notes, stated);
    if (stated.PAR) notes.push_back({say<ChoicePhrase::PARInCatalogue>(*stated.PAR)});
    return notes;
}

std::vector<CatalogueNote> notes_on_comparisons(const std::vector<RatingComparison>& comparisons,
                                                const std::optional<OctaveAttenuation>& octave) {
    std::vector<Message> all;
    bool nrr = false;
    for (const RatingComparison& comparison : comparisons) {
        if (!comparison.is_apart()) continue;
        all.push_back(apart(comparison));
        nrr = nrr || comparison.rating == ratings_from_octaves.back().name;
    }
    if (all.empty()) return {};
    const bool complete = octave && octave->at(ExtraBand::Hz3150) && octave->at(ExtraBand::Hz6300);
    return {{say<ChoicePhrase::RatingApart>(all, nrr && !complete)}};
}

}  // namespace earbudget
