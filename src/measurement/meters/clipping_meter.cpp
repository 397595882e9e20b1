#include "earbudget/measurement/meters/clipping_meter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "measurement/meters/block_scan.hpp"

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

namespace {

constexpr std::uint64_t shortest_stretch = 3;
constexpr float flat_from = 0.999F;  // 0.01 dB below full scale

// Below full scale.
constexpr float lowest_limit = 0.01F;
constexpr double smallest_span = 0.01;
constexpr double fewest_codes = 256.0;

// A long chunk is quicker to pass over, a short one that cannot be is quicker to examine.
constexpr std::size_t long_part = 256;
constexpr std::size_t part_length = 32;
constexpr std::size_t shortest_chunk = 16;  // fills what is remembered

}  // namespace

ClippingMeter::ClippingMeter(std::optional<Quantization> quantization)
    : step_(judged_step(quantization)),
      full_scale_(quantization
                      ? static_cast<float>(quantization->largest_code - 0.5 * quantization->step)
                      : std::numeric_limits<float>::infinity()) {}

void ClippingMeter::add(std::span<const float> block) {
    while (!block.empty()) {
        const auto chunk = block.first(std::min(block.size(), long_part));
        if (!pass_over(chunk)) {
            for (std::size_t n = 0; n < chunk.size(); n += part_length) {
                const auto part = chunk.subspan(n, std::min(part_length, chunk.size() - n));
                if (pass_over(part)) continue;
                for (const float x : part)
                    examine(x);
            }
        }
        block = block.subspan(chunk.size());
    }
}

/// Where equal samples matter: at full scale or at the signal's extremes so far.
ClippingMeter::Limits ClippingMeter::flat_outside() const {
    const auto step = static_cast<float>(step_);
    const float full_scale = std::min(flat_from, full_scale_);
    return {std::max(std::min(lowest_ + step, -lowest_limit), -full_scale),
            std::min(std::max(highest_ - step, lowest_limit), full_scale)};
}

/// Takes a chunk as a whole, if nothing in it can be a stretch or belong to one.
bool ClippingMeter::pass_over(std::span<const float> chunk) {
    const auto size = chunk.size();
    if (size < shortest_chunk || position_ == 0 || ended_) return false;
    const auto [low, high] = flat_outside();
    if (previous_ >= high || previous_ <= low) return false;
    const Extremes extremes = extremes_of(chunk);
    if (extremes.highest >= full_scale_ || extremes.lowest <= -full_scale_) return false;
    if (extremes.highest >= high || extremes.lowest <= low) {
        if (has_flat_outside(chunk, low, high)) return false;
    }
    highest_ = std::max(highest_, extremes.highest);
    lowest_ = std::min(lowest_, extremes.lowest);

    std::size_t run = 1;
    while (run < size && chunk[size - 1 - run] == chunk[size - 1])
        ++run;
    const bool goes_on = run == size && chunk[0] == previous_;
    equal_ = goes_on ? equal_ + run : run;
    previous_ = chunk[size - 1];
    for (std::size_t n = size - recent_.size(); n < size; ++n)
        recent_[(position_ + n) % recent_.size()] = chunk[n];
    at_end_of_scale_ = 0;
    position_ += size;
    return true;
}

void ClippingMeter::examine(float x) {
    if (ended_) {
        ended_->after[1] = x;
        top_.take(*ended_, step_, static_cast<double>(highest_));
        bottom_.take(*ended_, step_, -static_cast<double>(lowest_));
        ended_.reset();
    }
    if (position_ > 0 && x == previous_) {
        ++equal_;
        if (equal_ == shortest_stretch) remember_before();
    } else {
        const std::uint64_t start = position_ - equal_;
        if (equal_ >= shortest_stretch && start > 0 && std::abs(previous_) >= lowest_limit) {
            ended_ = Plateau{previous_, equal_, start, before_, {x, x}};
        }
        equal_ = 1;
    }
    highest_ = std::max(highest_, x);
    lowest_ = std::min(lowest_, x);
    find_full_scale(x);
    recent_[position_ % recent_.size()] = x;
    previous_ = x;
    ++position_;
}

void ClippingMeter::remember_before() {
    const std::uint64_t start = position_ + 1 - shortest_stretch;
    for (std::size_t k = 0; k < before_.size(); ++k)
        before_[k] = recent_[(start - std::min<std::uint64_t>(start, k + 1)) % recent_.size()];
}

void ClippingMeter::find_full_scale(float x) {
    const float magnitude = std::abs(x);
    at_end_of_scale_ = magnitude >= full_scale_ ? at_end_of_scale_ + 1 : 0;
    const bool clipped = at_end_of_scale_ >= shortest_stretch ||
                         (magnitude >= flat_from && equal_ >= shortest_stretch);
    if (clipped && !in_stretch_) {
        if (full_.stretches == 0) {
            full_.first_sample = position_ + 1 - shortest_stretch;
            full_.at = static_cast<double>(magnitude);
        }
        ++full_.stretches;
    }
    in_stretch_ = clipped;
}

Clipping ClippingMeter::clipping() const {
    if (full_.stretches > 0) return full_;
    Clipping below{.below_full_scale = true};
    const double span = static_cast<double>(highest_) - static_cast<double>(lowest_);
    if (!(span >= std::max(smallest_span, fewest_codes * step_))) return {};
    const auto take = [&](const FlatTops& side, double extreme) {
        if (!side.cut_off(step_, extreme)) return;
        if (below.stretches == 0 || side.first_sample() < below.first_sample) {
            below.first_sample = side.first_sample();
            below.at = std::abs(side.at());
        }
        below.stretches += side.stretches();
    };
    take(top_, static_cast<double>(highest_));
    take(bottom_, -static_cast<double>(lowest_));
    return below.stretches > 0 ? below : Clipping{};
}

}  // namespace earbudget
