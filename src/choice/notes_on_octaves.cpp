#include <algorithm>

#include "choice/catalogue_notes.hpp"

namespace earbudget {

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
        add_where<ChoicePhrase::SdAboveMean>(
            [](const Point& p) { return p.deviation > p.mean; });
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
