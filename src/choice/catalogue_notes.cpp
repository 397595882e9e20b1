#include <algorithm>
#include <cmath>

#include "choice/notes.hpp"

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

void look_at_unit(std::vector<CatalogueNote>& notes, const RatingRow& rating,
                  const Ratings& stated) {
    const Stated& value = stated.*rating.value;
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
    for (const RatingRow& rating : rating_rows)
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
        nrr = nrr || comparison.rating == name_of(Rating::NRR);
    }
    if (all.empty()) return {};
    const bool complete = octave && octave->at(ExtraBand::Hz3150) && octave->at(ExtraBand::Hz6300);
    return {{say<ChoicePhrase::RatingApart>(all, nrr && !complete)}};
}

namespace {

// When attenuation looks mistyped. All these limits are this program's own.
constexpr double deepest_dip = 10.0;    // against both neighbours; earmuffs dip by a few decibels
constexpr double pair_tolerance = 3.0;  // a pair below one of the two, in one band

struct Point {
    std::string_view band;
    double Hz;
    double mean;
    double deviation;
};

// All test frequencies that are there, rising.
std::vector<Point> points_of(const OctaveAttenuation& attenuation) {
    std::vector<Point> points;
    for (const OctaveBand band : octave_bands) {
        if (!attenuation.has(band)) continue;
        points.push_back({name_of(band), nominal_frequency(band).Hz(), attenuation.mean(band).dB(),
                          attenuation.deviation(band).dB()});
    }
    const auto add = [&](ExtraBand band, std::string_view name, double Hz) {
        const auto& extra = attenuation.at(band);
        if (extra) points.push_back({name, Hz, extra->mean.dB(), extra->deviation.dB()});
    };
    add(ExtraBand::Hz3150, "3150", 3150.0);
    add(ExtraBand::Hz6300, "6300", 6300.0);
    std::sort(points.begin(), points.end(),
              [](const Point& a, const Point& b) { return a.Hz < b.Hz; });
    return points;
}

using Names = std::vector<std::string>;

template <class Condition>
Names bands_where(const std::vector<Point>& points, Condition holds) {
    Names names;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (holds(i)) names.emplace_back(points[i].band);
    }
    return names;
}

// Bands whose mean lies beyond both neighbours by more than the deepest dip: below (+1), above
// (−1).
Names steps_out(const std::vector<Point>& points, double direction) {
    return bands_where(points, [&](std::size_t i) {
        if (i == 0 || i + 1 == points.size()) return false;
        const auto depth = [&](std::size_t other) {
            return direction * (points[other].mean - points[i].mean);
        };
        return depth(i - 1) > deepest_dip && depth(i + 1) > deepest_dip;
    });
}

// Notes of one table of attenuation; a note is added only where some band calls for it.
class OctaveNotes {
  public:
    explicit OctaveNotes(const OctaveAttenuation& attenuation) : points_(points_of(attenuation)) {}

    std::vector<CatalogueNote> all() {
        look_at_units();
        look_at_shape();
        look_at_deviations();
        return std::move(notes_);
    }

  private:
    template <ChoicePhrase phrase>
    void add(const Names& bands) {
        if (!bands.empty()) notes_.push_back({say<phrase>(bands)});
    }

    template <ChoicePhrase phrase, class Condition>
    void add_where(Condition holds) {
        add<phrase>(bands_where(points_, [&](std::size_t i) { return holds(points_[i]); }));
    }

    [[nodiscard]] bool all_from_0_to_1(double Point::*value) const {
        const auto inside = [value](const Point& p) { return p.*value >= 0.0 && p.*value <= 1.0; };
        const auto positive = [value](const Point& p) { return p.*value > 0.0; };
        return std::all_of(points_.begin(), points_.end(), inside) &&
               std::any_of(points_.begin(), points_.end(), positive);
    }

    void look_at_units() {
        if (all_from_0_to_1(&Point::mean)) notes_.push_back({say<ChoicePhrase::UnitOfMean>()});
        if (all_from_0_to_1(&Point::deviation)) notes_.push_back({say<ChoicePhrase::UnitOfSd>()});
        add_where<ChoicePhrase::MeanTooHigh>(
            [](const Point& p) { return p.mean > highest_attenuation.dB(); });
    }

    void look_at_shape() {
        add<ChoicePhrase::MeanDips>(steps_out(points_, 1.0));
        add<ChoicePhrase::MeanStandsOut>(steps_out(points_, -1.0));
        const auto low = std::ranges::find(points_, 125.0, &Point::Hz);
        if (low == points_.end()) return;
        add_where<ChoicePhrase::MeanFalls>(
            [&low](const Point& p) { return p.Hz >= 2000.0 && p.mean < low->mean; });
    }

    void look_at_deviations() {
        add_where<ChoicePhrase::SdZero>([](const Point& p) { return p.deviation == 0.0; });
        add_where<ChoicePhrase::SdAboveMean>([](const Point& p) { return p.deviation > p.mean; });
    }

    std::vector<Point> points_;
    std::vector<CatalogueNote> notes_;
};

Names missing_bands(OctaveMask present) {
    Names names;
    for (const OctaveBand band : octave_bands) {
        const std::size_t i = index_of(band);
        if (bands_from_125_Hz().test(i) && !present.test(i)) names.emplace_back(name_of(band));
    }
    return names;
}

}  // namespace

std::vector<CatalogueNote> notes_on_octaves(const std::optional<OctaveAttenuation>& octave,
                                            bool states_ratings) {
    if (!octave) {
        return {{states_ratings ? say<ChoicePhrase::NoOctaveData>() : say<ChoicePhrase::NoData>()}};
    }
    auto notes = OctaveNotes(*octave).all();
    if (const Names missing = missing_bands(octave->bands()); !missing.empty())
        notes.push_back({say<ChoicePhrase::BandsMissing>(missing)});
    return notes;
}

std::vector<CatalogueNote> notes_on_pair(const MeasuredPair& pair, const Catalogue& catalogue) {
    if (!pair.attenuation.octave) return {};
    std::vector<CatalogueNote> notes;
    for (const std::string& id : {pair.plug, pair.earmuff}) {
        const auto& alone = catalogue.find(id)->protector.octave;
        if (!alone) continue;
        Names below;
        for (const OctaveBand band : octave_bands) {
            if (!alone->has(band) || !pair.attenuation.octave->has(band)) continue;
            const LevelDifference lost = alone->mean(band) - pair.attenuation.octave->mean(band);
            if (lost > LevelDifference(pair_tolerance)) below.emplace_back(name_of(band));
        }
        if (!below.empty()) notes.push_back({say<ChoicePhrase::PairBelowOne>(below, id)});
    }
    return notes;
}

}  // namespace earbudget
