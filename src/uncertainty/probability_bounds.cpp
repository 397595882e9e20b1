#include "uncertainty/probability_bounds.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/protection/worn.hpp"

namespace earbudget {

namespace {

/// As exponents of energy. Errors of 3 to 8 dB and limits two to five of them away ask for these.
constexpr std::array energy_powers = {1.25, 1.75, 2.5, 3.5, 5.0, 7.0, 10.0};



/// In dB², errors of the same variable being one.
double variance_of(const std::vector<ErrorTerm>& terms) {
    double variance = 0.0;
    for (std::size_t i = 0; i < terms.size(); ++i) {
        double all = 0.0;
        bool first = true;
        for (std::size_t j = 0; j < terms.size(); ++j) {
            if (terms[j].variable != terms[i].variable) continue;
            first = first && j >= i;
            all += terms[j].size;
        }
        if (first) variance += squared(all);
    }
    return variance;
}

/// An energy that is normal in decibels.
struct Energy {
    double mean;         ///< that of the mean level
    double variance_dB2;
};

double energy_of(double dB) { return std::exp(growth_of_energy * dB); }

/// What is under the protector of an energy outside, before anything is held.
std::vector<Energy> under(const Energy& outside, const SegmentProtection& protection) {
    const double left = energy_of(-protection.reduction.dB());
    double variance = outside.variance_dB2;
    if (protection.fit) variance += squared(protection.fit->size);
    if (protection.spectrum) variance += squared(protection.spectrum->size);
    std::vector<Energy> energies;
    if (!protection.spread) {
        energies.push_back({outside.mean * left, variance});
    } else if (const auto& bands = protection.spread->bands(); bands.empty()) {
        const double size = protection.spread->slope(0.0);
        energies.push_back({outside.mean * left * energy_of(size * protection.spread->assumed_z()),
                            variance + squared(size)});
    } else {
        const double z = protection.spread->assumed_z();
        const auto at_ear = [](const PeopleSpread::Band& band, double at) {
            return energy_of((band.level - band.mean).dB() - at * band.deviation.dB());
        };
        double all = 0.0;
        for (const auto& band : bands)
            all += at_ear(band, z);
        for (const auto& band : bands)
            energies.push_back({outside.mean * left * at_ear(band, 0.0) / all,
                                variance + squared(band.deviation.dB())});
    }
    if (protection.poor_fit)
        energies.push_back(
            {outside.mean * energy_of(-poor_fit_reduction.dB()), outside.variance_dB2});
    return energies;
}

}  // namespace

ProbabilityBounds::ProbabilityBounds(const DayErrors& errors, std::vector<ExposureLimit> limits)
    : errors_(errors), limits_(std::move(limits)) {}

ProbabilityBounds::Rates ProbabilityBounds::rates_of(const Segment& segment, double growth) const {
    const double exponent = growth / growth_of_energy;
    const auto power = [&](std::size_t n) { return energy_powers[n] / exponent; };
    const auto rate_of = [&](const std::vector<Energy>& energies) {
        double all = 0.0;
        for (const Energy& energy : energies)
            all += energy.mean;
        Rate rate{.mean = std::pow(all, exponent)};
        for (std::size_t n = 0; n < powers; ++n) {
            const double half = 0.5 * squared(energy_powers[n] * growth_of_energy);
            for (const Energy& energy : energies)
                rate.moments[n] += energy.mean / all * std::exp(half * energy.variance_dB2);
        }
        return rate;
    };
    const Energy sound{energy_of((segment.outside - ExposureLimit::reference).dB()),
                       variance_of(segment.errors)};
    std::vector<Energy> outside = {sound};
    std::optional<Energy> unreduced;
    if (segment.unreduced) {
        unreduced = Energy{energy_of((*segment.unreduced - ExposureLimit::reference).dB()),
                           variance_of(segment.errors_of_unreduced)};
        outside.push_back(*unreduced);
    }
    Rates rates;
    rates.outside = rate_of(outside);
    rates.with.fill(1.0);
    rates.without.fill(1.0);
    for (std::size_t n = 0; n < powers; ++n) {
        const double size = segment.duration ? segment.duration->size : 0.0;
        rates.duration[n] = std::exp(0.5 * squared(power(n) * size));  // 1 + x ≤ exp x
    }
    if (!segment.protection) return rates;
    const SegmentProtection& protection = *segment.protection;
    std::vector<Energy> worn = under(sound, protection);
    if (unreduced) worn.push_back(*unreduced);
    rates.worn = rate_of(worn);
    rates.added_counts = !unreduced;
    for (std::size_t n = 0; n < powers; ++n) {
        const double most = std::pow(rates.outside.mean / rates.worn.mean, power(n));
        rates.held[n] = std::min(rates.worn.moments[n], most * rates.outside.moments[n]);
    }
    rates.time_with = protection.fraction_worn;
    rates.time_without = 1.0 - protection.fraction_worn;
    if (!protection.wearing_time || !(protection.wearing_time->size > 0.0)) return rates;
    // Without: at most 1, and a − σz ≤ σ/λ·exp(λa/σ − 1)·exp(−λz) for any λ.
    const double a = rates.time_without;
    const double size = protection.wearing_time->size;
    rates.time_with = 1.0;
    rates.time_without = std::min(1.0, std::max(a, 0.4 * size));
    for (std::size_t n = 0; n < powers; ++n) {
        const double k = power(n);
        const double lambda = (std::sqrt(squared(a / size) + 4.0 * k) - a / size) / (2.0 * k);
        const double logarithm = k * (std::log(size / lambda) + lambda * a / size - 1.0) +
                                 0.5 * squared(k * lambda);
        rates.without[n] =
            std::exp(std::min(logarithm, 0.0) - k * std::log(rates.time_without));
    }
    return rates;
}

const ProbabilityBounds::OfGrowth& ProbabilityBounds::of_growth(double growth) const {
    const auto known = std::ranges::find(growths_, growth, &OfGrowth::growth);
    if (known != growths_.end()) return *known;
    WorkMeter::spend(cost::bound_of_segment * static_cast<double>(errors_.segments.size()));
    OfGrowth made{growth, {}};
    made.of_segments.reserve(errors_.segments.size());
    for (const Segment& segment : errors_.segments)
        made.of_segments.push_back(rates_of(segment, growth));
    return growths_.emplace_back(std::move(made));
}

void ProbabilityBounds::add(const Rates& rates, bool at_ear, double seconds, double added,
                            Amount& amount) const {
    const bool as_it_is = added == 1.0 || !rates.added_counts;
    const Powers& worn = as_it_is ? rates.held : rates.worn.moments;
    const double with =
        at_ear ? seconds * rates.time_with * rates.worn.mean * (as_it_is ? 1.0 : added) : 0.0;
    const double without = seconds * (at_ear ? rates.time_without : 1.0) * rates.outside.mean;
    amount.mean += with + without;
    for (std::size_t n = 0; n < powers; ++n) {
        const double time = at_ear ? rates.without[n] : 1.0;
        amount.moments[n] +=
            rates.duration[n] * (with * worn[n] + without * time * rates.outside.moments[n]);
    }
}

/// That an amount is above a limit.
double ProbabilityBounds::over(const ExposureLimit& limit, const Amount& amount) {
    if (!(amount.mean > 0.0)) return 0.0;
    const double used = limit.used_at_reference() * amount.mean;
    double least = 1.0;
    for (std::size_t n = 0; n < powers; ++n) {
        const double k = energy_powers[n] * growth_of_energy / limit.growth();
        if (k < 1.0) continue;
        least = std::min(least, std::pow(used, k) * (amount.moments[n] / amount.mean));
    }
    return least;
}

double ProbabilityBounds::above_ceiling(const ExposureLimit& limit, const std::vector<Rates>& rates,
                                        const std::vector<double>& seconds, double added) const {
    const bool at_ear = limit.criterion().with_protection;
    const double ceiling =
        std::exp(limit.growth() * (*limit.criterion().rule.ceiling - ExposureLimit::reference).dB());
    const auto above = [&](const Rate& rate, double part) {
        double least = 1.0;
        for (std::size_t n = 0; n < powers; ++n) {
            const double k = energy_powers[n] * growth_of_energy / limit.growth();
            least = std::min(least, std::pow(part * rate.mean / ceiling, k) * rate.moments[n]);
        }
        return least;
    };
    double all = 0.0;
    for (std::size_t i = 0; i < rates.size(); ++i) {
        if (!(seconds[i] > 0.0)) continue;
        const Rates& one = rates[i];
        if (!at_ear || one.time_without > 0.0) all += above(one.outside, 1.0);
        if (at_ear && one.time_with > 0.0)
            all += above(one.worn, one.added_counts ? added : 1.0);
    }
    return std::min(all, 1.0);
}

double ProbabilityBounds::most(std::size_t index, const SegmentTimes& times,
                               LevelDifference added) const {
    const ExposureLimit& limit = limits_.at(index);
    const std::vector<Rates>& rates = of_growth(limit.growth()).of_segments;
    const double left = std::exp(-limit.growth() * added.dB());
    const bool at_ear = limit.criterion().with_protection;
    const bool hour = limit.accumulation() == Accumulation::HighestHour;
    Amount all;
    double of_any = 0.0;
    for (std::size_t i = 0; i < rates.size(); ++i) {
        const double seconds = times.seconds[i];
        if (!(seconds > 0.0)) continue;
        const double part = hour ? std::min(seconds / averaging_hour.count(), 1.0) : seconds;
        add(rates[i], at_ear, part, left, all);
        if (limit.is_sum()) continue;
        Amount one;
        add(rates[i], at_ear, 1.0, left, one);
        of_any += over(limit, one);
    }
    WorkMeter::spend(cost::bound_again * static_cast<double>(rates.size()));
    double most = limit.accumulation() == Accumulation::Loudest ? of_any : over(limit, all);
    if (hour) most = std::min(most, of_any);
    if (limit.criterion().rule.ceiling)
        most += above_ceiling(limit, rates, times.seconds, left);
    // Of numbers that are too large for arithmetic nothing is known.
    return most <= 1.0 ? most : 1.0;
}

double ProbabilityBounds::most_of_loudest_part(std::size_t index) const {
    const ExposureLimit& limit = limits_.at(index);
    const std::vector<Rates>& rates = of_growth(limit.growth()).of_segments;
    WorkMeter::spend(cost::bound_again * static_cast<double>(rates.size()));
    double most = 0.0;
    for (const Rates& one : rates) {
        Amount amount;
        add(one, limit.criterion().with_protection, 1.0, 1.0, amount);
        most += over(limit, amount);
    }
    return most <= 1.0 ? most : 1.0;
}

}  // namespace earbudget
