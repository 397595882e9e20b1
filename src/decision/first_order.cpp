#include "earbudget/decision/first_order.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "decision/drawn_limits.hpp"
#include "earbudget/acoustics/normal_distribution.hpp"

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

/// The amount that a second of one segment adds, and how that grows with each variable.
class MeanSegment {
  public:
    MeanSegment(const Segment& segment, const DrawnLimit& limit)
        : segment_(segment), limit_(limit), outside_(rate_at(segment.outside)) {
        const auto& protection = segment.protection;
        if (!protection || !limit.at_ear) return;
        fraction_ = protection->fraction_worn;
        worn_ = rate_at(segment.outside - reduction());
    }

    [[nodiscard]] double amount() const {
        return (1.0 - fraction_) * outside_.amount + fraction_ * worn_.amount;
    }

    /// Adds d(amount)/d(variable), each times `seconds`.
    void add_slopes(double seconds, std::vector<double>& slopes) const {
        const double with = fraction_ * worn_.amount;
        const double without = (1.0 - fraction_) * outside_.amount;
        const double a_dB = seconds * limit_.growth;
        const double of_sound = a_dB * (without * outside_.share + with * worn_.share);
        for (const ErrorTerm& error : segment_.errors)
            slopes[error.variable] += of_sound * error.size;
        for (const ErrorTerm& error : segment_.errors_of_unreduced)
            slopes[error.variable] += (a_dB * (with + without) - of_sound) * error.size;
        const auto& protection = segment_.protection;
        if (!protection || !limit_.at_ear) return;
        const double of_reduction = is_held_ ? 0.0 : -a_dB * with * worn_.share;
        if (protection->spread) {
            slopes[*protection->people] += of_reduction * protection->spread->slope(0.0);
        }
        if (protection->fit)
            slopes[protection->fit->variable] += of_reduction * protection->fit->size;
        if (protection->spectrum)
            slopes[protection->spectrum->variable] += of_reduction * protection->spectrum->size;
        if (protection->wearing_time) {
            slopes[protection->wearing_time->variable] +=
                seconds * protection->wearing_time->size * (worn_.amount - outside_.amount);
        }
    }

  private:
    [[nodiscard]] MeanRate rate_at(LevelA sound) const {
        MeanRate rate;
        double level = sound.dB();
        if (segment_.unreduced) {
            const double energy = relative_energy(sound);
            const double all = energy + relative_energy(*segment_.unreduced);
            rate.share = energy / all;
            level = 10.0 * std::log10(all);
        }
        if (limit_.threshold && level < (*limit_.threshold - level_slack).dB()) return rate;
        rate.amount =
            limit_.factor * std::exp(limit_.growth * (level - DrawnLevels::reference.dB()));
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
    const DrawnLimit& limit_;
    MeanRate outside_, worn_ = {};
    double fraction_ = 0.0;
    bool is_held_ = false;
};

std::vector<double> seconds_of(const HearingDay& day, const DayErrors& errors) {
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

/// The sum, or the loudest alone, and its slopes by variable.
struct Total {
    double amount = 0.0;
    std::vector<double> slopes;
};

Total total_of(const DrawnLimit& limit, const HearingDay& day, const DayErrors& errors) {
    const std::vector<double> seconds = seconds_of(day, errors);
    const std::vector<double> none(errors.variables.size(), 0.0);
    Total total{.slopes = none};
    for (std::size_t i = 0; i < errors.segments.size(); ++i) {
        if (!(seconds[i] > 0.0)) continue;
        const MeanSegment segment(errors.segments[i], limit);
        if (limit.kind == DrawnLimit::Kind::Sum) {
            total.amount += seconds[i] * segment.amount();
            segment.add_slopes(seconds[i], total.slopes);
        } else if (segment.amount() > total.amount) {
            total = {.amount = segment.amount(), .slopes = none};
            segment.add_slopes(1.0, total.slopes);
        }
    }
    return total;
}

}  // namespace

std::optional<FirstOrder> first_order(const Criterion& criterion, const HearingDay& day,
                                      const DayErrors& errors) {
    const DrawnLimit limit = DrawnLimit::of(criterion, day.days_per_week);
    if (limit.kind == DrawnLimit::Kind::Hour) return std::nullopt;
    const Total total = total_of(limit, day, errors);
    if (!(total.amount > 0.0)) return std::nullopt;
    FirstOrder result{.above_limit = LevelDifference(std::log(total.amount) / limit.growth)};
    std::array<double, number_of_error_kinds> variance = {};
    for (std::size_t i = 0; i < total.slopes.size(); ++i) {
        const double dB = total.slopes[i] / (limit.growth * total.amount);
        variance[static_cast<std::size_t>(errors.variables[i].kind)] += dB * dB;
    }
    double all = 0.0;
    for (const double part : variance)
        all += part;
    result.standard = LevelDifference(std::sqrt(all));
    for (std::size_t kind = 0; kind < number_of_error_kinds; ++kind) {
        if (!(variance[kind] > 0.0)) continue;
        result.parts.push_back({static_cast<ErrorKind>(kind),
                                LevelDifference(std::sqrt(variance[kind])), variance[kind] / all});
    }
    std::ranges::stable_sort(result.parts, std::ranges::greater(), &ErrorShare::standard);
    const double above = result.above_limit.dB();
    if (all > 0.0) {
        result.probability_over = normal_probability(above / result.standard.dB());
    } else {
        result.probability_over = total.amount > most_permitted ? 1.0 : 0.0;
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
