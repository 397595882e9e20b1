#include "earbudget/measurement/meters/time_weighted_meter.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "earbudget/measurement/meters/mean_square_meter.hpp"
#include "earbudget/measurement/meters/sample_source.hpp"
#include "measurement/vector/kernels.hpp"

namespace earbudget {

namespace {

// Classes of F levels for percentiles, dB re full scale.
constexpr double lowest_class = -220.0;
constexpr double class_width = 0.05;
constexpr std::size_t classes = 8200;  // up to 190 dB: float recordings may be in any unit

constexpr Seconds settled_F{1.0};
constexpr Seconds settled_S{5.0};

/// Between half a millisecond and one, so that whole blocks fill a twentieth of a second or, where
/// the sampling rate has no such divisor, at least a second.
std::size_t block_length_at(double rate) {
    const auto samples = static_cast<std::size_t>(std::lround(rate));
    const std::size_t most = samples / 1000;
    const std::size_t fewest = (samples + 1999) / 2000;
    for (const std::size_t parts : {std::size_t{20}, std::size_t{1}}) {
        for (std::size_t length = most; length >= fewest; --length) {
            if (samples % (parts * length) == 0) return length;
        }
    }
    return (fewest + most) / 2;
}

std::size_t blocks_in(Seconds time, double rate, std::size_t block_length) {
    return static_cast<std::size_t>(
        std::lround(time.count() * rate / static_cast<double>(block_length)));
}

/// A class is wider than what a steady sound varies.
std::optional<LevelFS> within(std::optional<LevelFS> level, const std::optional<LevelFS>& lowest,
                              const std::optional<LevelFS>& highest) {
    if (level && lowest) level = std::max(*level, *lowest);
    if (level && highest) level = std::min(*level, *highest);
    return level;
}

}  // namespace

double ExponentialAverage::add(double mean_square, Seconds time) {
    if (time != last_time_) {
        last_time_ = time;
        gain_ = -std::expm1(-(time / time_constant_));
    }
    value_ += gain_ * (mean_square - value_);
    return value_;
}

TimeWeightedMeter::TimeWeightedMeter(Frequency sample_rate)
    : sample_rate_(sample_rate),
      block_length_(block_length_at(sample_rate.Hz())),
      blocks_in_step_(blocks_in(Seconds(0.05), sample_rate.Hz(), block_length_)),
      f_levels_(classes, 0),
      next_second_(blocks_until(1.0)) {
    result_.history.step =
        Seconds(static_cast<double>(blocks_in_step_ * block_length_) / sample_rate.Hz());
}

void TimeWeightedMeter::add(std::span<const float> block) {
    if (!open_block_.empty()) {
        const auto part = block.first(std::min(block.size(), block_length_ - open_block_.size()));
        open_block_.insert(open_block_.end(), part.begin(), part.end());
        block = block.subspan(part.size());
        if (open_block_.size() < block_length_) return;
        take(sum_of_squares(open_block_), block_length_);
        open_block_.clear();
    }
    const std::size_t whole = block.size() / block_length_;
    sums_.resize(whole);
    vector::kernels().sums_of_squares(block.data(), block_length_, whole, sums_.data());
    for (const float sum : sums_)
        take(static_cast<double>(sum), block_length_);
    const auto rest = block.subspan(whole * block_length_);
    open_block_.assign(rest.begin(), rest.end());
}

void TimeWeightedMeter::take(double sum, std::size_t samples) {
    energy_ += sum;
    samples_ += samples;
    second_energy_ += sum;
    second_samples_ += samples;
    step_energy_ += sum;
    step_samples_ += samples;
    ++blocks_;
    const auto count = static_cast<double>(samples);
    take_average(sum / count, Seconds(count / sample_rate_.Hz()));
    if (blocks_ >= next_second_) take_second();
    if (blocks_ % blocks_in_step_ == 0) {
        result_.history.mean_square.push_back(
            static_cast<float>(step_energy_ / static_cast<double>(step_samples_)));
        step_energy_ = 0.0;
        step_samples_ = 0;
    }
}

void TimeWeightedMeter::take_average(double mean_square, Seconds time) {
    const double f = f_.add(mean_square, time);
    const double s = s_.add(mean_square, time);
    f_max_ = std::max(f_max_, f);
    s_max_ = std::max(s_max_, s);
    const Seconds now(static_cast<double>(samples_) / sample_rate_.Hz());
    if (now < settled_F) return;
    f_min_ = f_min_ < 0.0 ? f : std::min(f_min_, f);
    if (now >= settled_S) s_min_ = s_min_ < 0.0 ? s : std::min(s_min_, s);
    const auto level = level_of_mean_square(f);
    const double place = level ? (level->dB() - lowest_class) / class_width : 0.0;
    const auto highest = static_cast<double>(classes - 1);
    ++f_levels_[static_cast<std::size_t>(std::clamp(place, 0.0, highest))];
    ++f_counted_;
}

void TimeWeightedMeter::take_second() {
    const auto samples = static_cast<double>(second_samples_);
    result_.seconds.push_back(static_cast<float>(second_energy_ / samples));
    result_.last_second = Seconds(samples / sample_rate_.Hz());
    second_energy_ = 0.0;
    second_samples_ = 0;
    // At the block nearest to a whole second, so that odd sampling rates do not drift.
    next_second_ = blocks_until(static_cast<double>(result_.seconds.size() + 1));
}

std::uint64_t TimeWeightedMeter::blocks_until(double seconds) const {
    return blocks_in(Seconds(seconds), sample_rate_.Hz(), block_length_);
}

/// Counted from the highest class down, and shared out evenly within a class.
std::optional<LevelFS> TimeWeightedMeter::exceeded_for(double percent) const {
    const double wanted = percent / 100.0 * static_cast<double>(f_counted_);
    double above = 0.0;
    for (std::size_t k = classes; k-- > 0;) {
        const auto here = static_cast<double>(f_levels_[k]);
        if (here > 0.0 && above + here >= wanted) {
            if (k == 0) return std::nullopt;
            const double part = 1.0 - (wanted - above) / here;
            return LevelFS(lowest_class + class_width * (static_cast<double>(k) + part));
        }
        above += here;
    }
    return std::nullopt;
}

double TimeWeightedMeter::mean_square() const {
    const auto samples = static_cast<double>(samples_ + open_block_.size());
    return samples > 0.0 ? (energy_ + sum_of_squares(open_block_)) / samples : 0.0;
}

TimeWeightedLevels TimeWeightedMeter::finish() {
    if (!open_block_.empty()) {
        take(sum_of_squares(open_block_), open_block_.size());
        open_block_.clear();
    }
    if (second_samples_ > 0) take_second();
    result_.F_max = level_of_mean_square(f_max_);
    result_.S_max = level_of_mean_square(s_max_);
    if (f_min_ >= 0.0) result_.F_min = level_of_mean_square(f_min_);
    if (s_min_ >= 0.0) result_.S_min = level_of_mean_square(s_min_);
    for (std::size_t n = 0; n < exceeded_percent.size(); ++n)
        result_.F_exceeded[n] =
            within(exceeded_for(exceeded_percent[n]), result_.F_min, result_.F_max);
    return std::move(result_);
}

}  // namespace earbudget
