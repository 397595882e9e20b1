#include "earbudget/measurement/flat_tops.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace earbudget {

namespace {

constexpr std::uint64_t enough_stretches = 2;
constexpr std::uint64_t enough_in_one = 4;

// Samples beside a flat top, from 0, whose fall from it is judged. The far one is for low tones.
constexpr std::array<std::size_t, 3> judged = {0, 1, 11};

constexpr int most_codes_at_once = 4;  // a rounded crest falls from three equal samples
constexpr double coarse_by = 2.0;      // times the format's code
constexpr double whole_within = 0.1;   // of a code

/// How many codes a smooth crest, rounded so that `length` samples are equal, has fallen at most
/// `distance` samples beside them. Samples within one code lie at most (length - 1) / 2 from the
/// middle; a crest falls with the square of the distance, one made flat by harmonics with the
/// fourth power. Rounding and a little noise may add a code each.
double natural_fall(std::uint64_t length, std::size_t distance) {
    const auto width = static_cast<double>(length - 1);
    const double squared = std::pow((width + 2.0 * static_cast<double>(distance)) / width, 2.0);
    return squared * squared + 2.0;
}

bool is_whole(double ratio) { return std::abs(ratio - std::round(ratio)) <= whole_within; }

}  // namespace

double FlatTops::fall(const Plateau& plateau, float to) const {
    return sign_ * (static_cast<double>(plateau.value) - static_cast<double>(to));
}

/// The step that the samples around a flat top have in common, if coarser than `step`.
double FlatTops::step_around(const Plateau& plateau, double step) const {
    const double first =
        std::min(fall(plateau, plateau.before[0]), fall(plateau, plateau.after[0]));
    for (int codes = 1; codes <= most_codes_at_once; ++codes) {
        const double coarse = first / codes;
        if (coarse < coarse_by * step) break;
        const auto fits = [&](float x) { return is_whole(fall(plateau, x) / coarse); };
        if (std::all_of(plateau.before.begin(), plateau.before.end(), fits) &&
            std::all_of(plateau.after.begin(), plateau.after.end(), fits))
            return coarse;
    }
    return step;
}

bool FlatTops::is_abrupt(const Plateau& plateau, double step) const {
    if (!(fall(plateau, plateau.before[0]) > 0.0 && fall(plateau, plateau.after[0]) > 0.0))
        return false;
    const double code = step_around(plateau, step);
    return std::any_of(judged.begin(), judged.end(), [&](std::size_t k) {
        double deepest = fall(plateau, plateau.before[k]);
        if (k < plateau.after.size()) deepest = std::max(deepest, fall(plateau, plateau.after[k]));
        return deepest > code * natural_fall(plateau.length, k + 1);
    });
}

void FlatTops::take(const Plateau& plateau, double step, double extreme) {
    const double value = sign_ * static_cast<double>(plateau.value);
    if (value < extreme - step || !is_abrupt(plateau, step)) return;
    if (value > at_ + step) {
        *this = FlatTops(sign_);
        first_sample_ = plateau.first_sample;
    }
    at_ = std::max(at_, value);
    ++stretches_;
    longest_ = std::max(longest_, plateau.length);
}

bool FlatTops::cut_off(double step, double extreme) const {
    return (stretches_ >= enough_stretches || longest_ >= enough_in_one) && extreme <= at_ + step;
}

}  // namespace earbudget
