#include "earbudget/uncertainty/first_order.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "earbudget/acoustics/normal_distribution.hpp"
#include "earbudget/exposure/limit.hpp"

namespace earbudget {

namespace {

LevelDifference unclamped_reduction(const SegmentProtection& protection) {
    if (!protection.spread) return protection.reduction;
    return protection.reduction + LevelDifference(protection.spread->added(0.0));
}

/// What a second at one level of a segment adds, at the mean of every error.
struct MeanRate {
    double amount = 0.0;
    double share = 1.0;  ///< of the level's energy that is the sound's, not the unreduced rest
};

/// The amount that one segment adds, and how that grows with each variable.
class MeanSegment {
  public:
    MeanSegment(const Segment& segment, const ExposureLimit& limit)
        : segment_(segment), limit_(limit), outside_(rate_at(segment.outside)) {
        const auto& protection = segment.protection;
        if (!protection || !limit.criterion().with_protection) return;
        fraction_ = protection->fraction_worn;
        worn_ = rate_at(segment.outside - reduction());
    }

    [[nodiscard]] MeanAmount amounts() const {
        return {fraction_ * worn_.amount, (1.0 - fraction_) * outside_.amount};
    }
    [[nodiscard]] double amount() const { return amounts().without + amounts().through; }

    /// Adds d(amount)/d(error) in `seconds`, by decibels of the level that grows so.
    void add_slopes(double seconds, std::size_t index, std::vector<Sensitivity>& slopes) const {
        const auto add = [&](const ErrorTerm& error, double slope) {
            slopes.push_back({index, error.variable, slope, error.size});
        };
        const double with = fraction_ * worn_.amount;
        const double without = (1.0 - fraction_) * outside_.amount;
        const double a_dB = seconds * limit_.growth();
        const double of_sound = a_dB * (without * outside_.share + with * worn_.share);
        for (const ErrorTerm& error : segment_.errors)
            add(error, of_sound);
        for (const ErrorTerm& error : segment_.errors_of_unreduced)
            add(error, a_dB * (with + without) - of_sound);
        const auto& protection = segment_.protection;
        if (!protection || !limit_.criterion().with_protection) return;
        const double of_reduction = is_held_ ? 0.0 : -a_dB * with * worn_.share;
        if (protection->spread) {
            add({*protection->people, protection->spread->slope(0.0)}, of_reduction);
        }
        if (protection->fit) add(*protection->fit, of_reduction);
        if (protection->spectrum) add(*protection->spectrum, of_reduction);
        if (protection->wearing_time)
            add(*protection->wearing_time, seconds * (worn_.amount - outside_.amount));
    }

  private:
    [[nodiscard]] MeanRate rate_at(LevelA sound) const {
        MeanRate rate;
        LevelA level = sound;
        if (segment_.unreduced) {
            const double energy = relative_energy(sound);
            const double all = energy + relative_energy(*segment_.unreduced);
            rate.share = energy / all;
            level = *level_of_relative_energy<quantity::AWeighted>(all);
        }
        rate.amount = limit_.used_by(level);
        return rate;
    }

    /// At the mean of people; held where it can neither rise nor fall.
    LevelDifference reduction() {
        const LevelDifference met = unclamped_reduction(*segment_.protection);
        const LevelDifference held = mean_reduction(*segment_.protection);
        is_held_ = held != met;
        return held;
    }

    const Segment& segment_;
    const ExposureLimit& limit_;
    MeanRate outside_, worn_ = {};
    double fraction_ = 0.0;
    bool is_held_ = false;
};

std::vector<double> seconds_of(const ExposureDay& day, const DayErrors& errors) {
    std::vector<double> seconds(errors.segments.size(), 0.0);
    for (std::size_t row = 0; row < day.rows.size(); ++row) {
        for (unsigned session = 0; session < day.times_a_day(day.rows[row]); ++session) {
            if (const auto segment = errors.segment_of(row, session)) {
                seconds[*segment] += day.rows[row].time.count();
            }
        }
    }
    return seconds;
}

/// The sum, or the loudest alone, and its slopes.
struct Total {
    double amount = 0.0;
    std::vector<Sensitivity> slopes = {};
};

Total total_of(const ExposureLimit& limit, const ExposureDay& day, const DayErrors& errors,
               MeanDay* mean) {
    const std::vector<double> seconds = seconds_of(day, errors);
    Total total;
    if (mean) mean->amounts.resize(errors.segments.size());
    for (std::size_t i = 0; i < errors.segments.size(); ++i) {
        if (!(seconds[i] > 0.0)) continue;
        const MeanSegment segment(errors.segments[i], limit);
        if (limit.is_sum()) {
            if (mean) mean->amounts[i] = segment.amounts();
            total.amount += seconds[i] * segment.amount();
            segment.add_slopes(seconds[i], i, total.slopes);
            if (const auto& duration = errors.segments[i].duration) {
                total.slopes.push_back(
                    {i, duration->variable, seconds[i] * segment.amount(), duration->size});
            }
        } else if (segment.amount() > total.amount) {
            if (mean) {
                mean->amounts.assign(errors.segments.size(), {});
                mean->amounts[i] = segment.amounts();
            }
            total = {.amount = segment.amount()};
            segment.add_slopes(1.0, i, total.slopes);
        }
    }
    for (Sensitivity& slope : total.slopes)
        slope.coefficient /= limit.growth() * total.amount;
    return total;
}

}  // namespace

std::optional<FirstOrder> first_order(const Criterion& criterion, const ExposureDay& day,
                                      const DayErrors& errors, MeanDay* mean) {
    const ExposureLimit limit(criterion, criterion.days_counted(day.days_per_week));
    if (limit.accumulation() == Accumulation::HighestHour) return std::nullopt;
    const Total total = total_of(limit, day, errors, mean);
    if (!(total.amount > 0.0)) return std::nullopt;
    FirstOrder result{.above_limit = -limit.margin_of(total.amount)};
    std::vector<double> of_variable(errors.variables.size(), 0.0);
    for (const Sensitivity& slope : total.slopes)
        of_variable[slope.variable] += slope.coefficient * slope.size;
    std::array<double, error_kinds.size()> variance = {};
    for (std::size_t i = 0; i < of_variable.size(); ++i) {
        const auto kind = static_cast<std::size_t>(errors.variables[i].kind);
        variance[kind] += of_variable[i] * of_variable[i];
    }
    double all = 0.0;
    for (const double part : variance)
        all += part;
    result.standard = LevelDifference(std::sqrt(all));
    for (std::size_t kind = 0; kind < error_kinds.size(); ++kind) {
        if (!(variance[kind] > 0.0)) continue;
        result.parts.push_back({static_cast<ErrorKind>(kind),
                                LevelDifference(std::sqrt(variance[kind])), variance[kind] / all});
    }
    std::ranges::stable_sort(result.parts, std::ranges::greater(), &ErrorShare::standard);
    const double above = result.above_limit.dB();
    if (all > 0.0) {
        result.probability_over = normal_probability(above / result.standard.dB());
    } else {
        result.probability_over = is_above_limit(total.amount) ? 1.0 : 0.0;
    }
    if (mean) {
        mean->errors = &errors;
        mean->slopes = total.slopes;
    }
    return result;
}

LevelDifference mean_reduction(const SegmentProtection& protection) {
    const LevelDifference met = std::max(unclamped_reduction(protection), LevelDifference(0.0));
    return protection.poor_fit ? std::min(met, poor_fit_reduction) : met;
}

bool disagree(double by_draws, double by_first_order) {
    return std::abs(by_draws - by_first_order) > greatest_disagreement;
}

}  // namespace earbudget
