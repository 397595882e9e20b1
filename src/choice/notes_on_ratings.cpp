#include <cmath>

#include <fmt/format.h>

#include "choice/catalogue_notes.hpp"

namespace earbudget {

namespace {

using Stated = std::optional<LevelDifference>;

// SNR is taken from LC, and pink noise has LC − LA = 1.5 dB: it lies above M and at most so much
// above H; the rest is room for two roundings. This program's own choice.
constexpr LevelDifference highest_SNR_above_H{3.0};

bool below(const Stated& a, const Stated& b) { return a && b && *a < *b; }

// How far the rating that should be the higher one lies below the other.
LevelDifference inversion(const Ratings& ratings, const RatingRow& upper, const RatingRow& lower) {
    const Stated& high = ratings.*upper.value;
    const Stated& low = ratings.*lower.value;
    return high && low ? *low - *high : LevelDifference(0.0);
}

// Stated the wrong way round, where the octave data do not say the same to the 1 dB that labels may
// differ by.
void look_at_order(std::vector<CatalogueNote>& notes, const RatingRow& upper,
                   const RatingRow& lower, const Ratings& stated, const Ratings& computed) {
    const LevelDifference stated_by = inversion(stated, upper, lower);
    const LevelDifference computed_by = inversion(computed, upper, lower);
    const bool as_the_data =
        computed_by > LevelDifference(0.0) && stated_by <= computed_by + agreement_of_labels;
    if (stated_by <= LevelDifference(0.0) || as_the_data) return;
    notes.push_back({"H-M-L-order",
                     fmt::format("{0} {1:g} is below {2} {3:g}; usual is H, M, L falling in this "
                                 "order: exchanged? compare them with the label",
                                 upper.name, (stated.*upper.value)->dB(), lower.name,
                                 (stated.*lower.value)->dB())});
}

void look_at_SNR(std::vector<CatalogueNote>& notes, const Ratings& stated) {
    if (below(stated.SNR, stated.M)) {
        notes.push_back(
            {"SNR-below-M", fmt::format("SNR {:g} is below M {:g}; it is usually 1 to 3 dB above: "
                                        "compare both with the label",
                                        stated.SNR->dB(), stated.M->dB())});
    }
    if (stated.SNR && stated.H && *stated.SNR > *stated.H + highest_SNR_above_H) {
        notes.push_back({"SNR-above-H",
                         fmt::format("SNR {:g} is more than 3 dB above H {:g}: compare both with "
                                     "the label",
                                     stated.SNR->dB(), stated.H->dB())});
    }
    if (below(stated.SNR, stated.NRR)) {
        notes.push_back(
            {"NRR-above-SNR", fmt::format("NRR {:g} is above SNR {:g}; it takes off two standard "
                                          "deviations and 3 dB where SNR takes off one: exchanged? "
                                          "compare both with the label",
                                          stated.NRR->dB(), stated.SNR->dB())});
    }
}

void look_at_unit(std::vector<CatalogueNote>& notes, const RatingRow& rating,
                  const Ratings& stated) {
    const Stated& value = stated.*rating.value;
    if (!value) return;
    if (value->dB() > 0.0 && value->dB() < 1.0) {
        notes.push_back(
            {"unit-of-rating", fmt::format("{} {:g} lies between 0 and 1: a fraction rather than "
                                           "decibels; enter dB",
                                           rating.name, value->dB())});
    }
    if (*value > highest_attenuation) {
        notes.push_back({"rating-too-high",
                         fmt::format("{} {:g} is above {:g} dB, more than sound through the skull "
                                     "allows: percent, or digits swapped? enter dB",
                                     rating.name, value->dB(), highest_attenuation.dB())});
    }
}

// 31 for 13: the commonest slip of all; 0 when the value is not of two digits.
double digits_swapped(LevelDifference value) {
    const double dB = value.dB();
    if (dB != std::floor(dB) || dB < 10.0 || dB > 99.0) return 0.0;
    const double tens = std::floor(dB / 10.0);
    return 10.0 * (dB - 10.0 * tens) + tens;
}

// "SNR 13 for 31 (−18 dB), which agrees with its digits swapped".
std::string apart_text(const RatingComparison& comparison) {
    const RatingComparison swapped{
        comparison.rating, LevelDifference(digits_swapped(comparison.stated)), comparison.computed};
    const bool helps = swapped.stated != LevelDifference(0.0) && swapped.agrees();
    return fmt::format("{} {:g} for {:g} ({:+g} dB{})", comparison.rating, comparison.stated.dB(),
                       comparison.computed.dB(), comparison.difference().dB(),
                       helps ? "; with its digits swapped it would agree" : "");
}

}  // namespace

std::vector<CatalogueNote> notes_on_ratings(const Ratings& stated, const Ratings& computed) {
    std::vector<CatalogueNote> notes;
    const auto& [SNR, H, M, L, NRR] = ratings_from_octaves;
    for (const RatingRow& rating : rating_rows)
        look_at_unit(notes, rating, stated);
    look_at_order(notes, H, M, stated, computed);
    look_at_order(notes, M, L, stated, computed);
    if (!stated.M) look_at_order(notes, H, L, stated, computed);
    look_at_SNR(notes, stated);
    if (stated.PAR) {
        notes.push_back({"PAR-in-catalogue",
                         fmt::format("PAR {:g} is a fit-test result and belongs to the person who "
                                     "was tested: enter it under [[person]] of a plan",
                                     stated.PAR->dB())});
    }
    return notes;
}

std::vector<CatalogueNote> notes_on_comparisons(const std::vector<RatingComparison>& comparisons,
                                                const std::optional<OctaveAttenuation>& octave) {
    std::vector<std::string> apart;
    bool nrr = false;
    for (const RatingComparison& comparison : comparisons) {
        if (!comparison.is_apart()) continue;
        apart.push_back(apart_text(comparison));
        nrr = nrr || comparison.rating == name_of(Rating::NRR);
    }
    if (apart.empty()) return {};
    const bool complete = octave && octave->at(ExtraBand::Hz3150) && octave->at(ExtraBand::Hz6300);
    return {
        {"rating-apart",
         fmt::format("more than 2 dB apart, stated for computed: {}. Compare ratings, mean and "
                     "sd with the sheet, and whether all are of one product and one test{}",
                     fmt::join(apart, ", "),
                     nrr && !complete ? "; the test for an NRR also has 3150 and 6300 Hz: enter "
                                        "them where the sheet states them"
                                      : "")}};
}

}  // namespace earbudget
