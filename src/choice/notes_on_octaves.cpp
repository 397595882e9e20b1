#include <algorithm>

#include <fmt/format.h>

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

using Names = std::vector<std::string_view>;

template <class Condition>
Names bands_where(const std::vector<Point>& points, Condition holds) {
    Names names;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (holds(i)) names.push_back(points[i].band);
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
    void add(std::string code, const Names& bands, std::string_view text) {
        if (bands.empty()) return;
        notes_.push_back(
            {std::move(code), fmt::format(fmt::runtime(text), fmt::join(bands, ", "))});
    }

    [[nodiscard]] bool all_from_0_to_1(double Point::*value) const {
        const auto inside = [value](const Point& p) { return p.*value >= 0.0 && p.*value <= 1.0; };
        const auto positive = [value](const Point& p) { return p.*value > 0.0; };
        return std::all_of(points_.begin(), points_.end(), inside) &&
               std::any_of(points_.begin(), points_.end(), positive);
    }

    void look_at_units() {
        if (all_from_0_to_1(&Point::mean)) {
            notes_.push_back({"unit-of-mean",
                              "every mean attenuation lies between 0 and 1: a fraction rather than "
                              "decibels; enter dB"});
        }
        if (all_from_0_to_1(&Point::deviation)) {
            notes_.push_back({"unit-of-sd",
                              "every sd lies between 0 and 1: a standard error or another unit "
                              "rather than the standard deviation between people in dB, which is "
                              "2 to 8; enter that one"});
        }
        add("mean-too-high",
            bands_where(
                points_,
                [this](std::size_t i) { return points_[i].mean > highest_attenuation.dB(); }),
            "mean attenuation above 60 dB at {} Hz, more than sound through the skull allows: "
            "percent, or digits swapped? enter dB");
    }

    void look_at_shape() {
        add("mean-dips", steps_out(points_, 1.0),
            "mean attenuation at {} Hz is more than 10 dB below both neighbouring bands: compare "
            "it with the sheet it was copied from");
        add("mean-stands-out", steps_out(points_, -1.0),
            "mean attenuation at {} Hz is more than 10 dB above both neighbouring bands: compare "
            "it with the sheet it was copied from");
        const auto low = std::find_if(points_.begin(), points_.end(),
                                      [](const Point& p) { return p.Hz == 125.0; });
        if (low == points_.end()) return;
        add("mean-falls",
            bands_where(points_,
                        [&](std::size_t i) {
                            return points_[i].Hz >= 2000.0 && points_[i].mean < low->mean;
                        }),
            "mean attenuation at {} Hz is lower than at 125 Hz; it rises with frequency for plugs "
            "and muffs: compare it, and the order of the values, with the sheet");
    }

    void look_at_deviations() {
        add("sd-zero",
            bands_where(points_, [this](std::size_t i) { return points_[i].deviation == 0.0; }),
            "sd is 0 at {} Hz, which nobody measures between people: enter the standard deviation, "
            "without it the protection is overestimated");
        add("sd-above-mean",
            bands_where(points_,
                        [this](std::size_t i) { return points_[i].deviation > points_[i].mean; }),
            "sd is larger than the mean at {} Hz: mean and sd exchanged, or a digit too many? "
            "compare both with the sheet");
    }

    std::vector<Point> points_;
    std::vector<CatalogueNote> notes_;
};

std::string missing_bands(OctaveMask present) {
    Names names;
    for (const OctaveBand band : octave_bands) {
        const std::size_t i = index_of(band);
        if (bands_from_125_Hz().test(i) && !present.test(i)) names.push_back(name_of(band));
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

}  // namespace

std::vector<CatalogueNote> notes_on_octaves(const std::optional<OctaveAttenuation>& octave,
                                            bool states_ratings) {
    if (!octave) {
        if (states_ratings) {
            return {{"no-octave-data",
                     "no octave-band data, so that nothing can be computed: enter frequency, mean "
                     "and sd from the maker's sheet"}};
        }
        return {{"no-data",
                 "neither octave-band data nor a rating, so that no method can use it: enter "
                 "frequency, mean and sd, or the ratings of its label"}};
    }
    auto notes = OctaveNotes(*octave).all();
    if (const std::string missing = missing_bands(octave->bands()); !missing.empty()) {
        notes.push_back({"bands-missing",
                         fmt::format("no data at {} Hz, so that nothing can be computed: enter all "
                                     "octave bands from 125 to 8000 Hz",
                                     missing)});
    }
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
            if (lost > LevelDifference(pair_tolerance)) below.push_back(name_of(band));
        }
        if (below.empty()) continue;
        notes.push_back({"pair-below-one",
                         fmt::format("at {} Hz the pair attenuates more than 3 dB less than \"{}\" "
                                     "alone: compare both with their sheets",
                                     fmt::join(below, ", "), id)});
    }
    return notes;
}

}  // namespace earbudget
