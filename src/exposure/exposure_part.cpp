#include "earbudget/exposure/exposure_part.hpp"

#include <algorithm>
#include <vector>

#include "earbudget/acoustics/pressure.hpp"

namespace earbudget {

namespace {

// ISO 9612, clause 3: the reference duration of LEX,8h.
constexpr Seconds reference_day = Hours(8);

// ∫ p² dt in units of (20 µPa)² s.
double energy_time(ExposureParts parts) {
    double sum = 0.0;
    for (const ExposurePart& part : parts) {
        if (part.level) sum += relative_energy(*part.level) * part.time.count();
    }
    return sum;
}

std::optional<LevelA> average_over(double energy_seconds, Seconds time) {
    if (!(time.count() > 0.0)) return std::nullopt;
    return level_of_relative_energy<quantity::AWeighted>(energy_seconds / time.count());
}

// The course of ∫ p² dt over the day, straight between the ends of the parts.
class RunningExposure {
  public:
    explicit RunningExposure(ExposureParts parts) {
        for (const ExposurePart& part : parts) {
            const double power = part.level ? relative_energy(*part.level) : 0.0;
            times_.push_back(times_.back() + part.time.count());
            energies_.push_back(energies_.back() + power * part.time.count());
        }
    }

    // The largest rise over any stretch of `window` seconds: it begins or ends where a part does.
    [[nodiscard]] double largest_rise(double window) const {
        double largest = 0.0;
        for (const double edge : times_) {
            largest = std::max(largest, until(edge + window) - until(edge));
            largest = std::max(largest, until(edge) - until(edge - window));
        }
        return largest;
    }

  private:
    [[nodiscard]] double until(double time) const {
        if (time <= 0.0) return 0.0;
        if (time >= times_.back()) return energies_.back();
        const auto after = std::upper_bound(times_.begin(), times_.end(), time);
        const auto i = static_cast<std::size_t>(after - times_.begin());
        const double fraction = (time - times_[i - 1]) / (times_[i] - times_[i - 1]);
        return energies_[i - 1] + fraction * (energies_[i] - energies_[i - 1]);
    }

    std::vector<double> times_ = {0.0};
    std::vector<double> energies_ = {0.0};
};

}  // namespace

Seconds total_time(ExposureParts parts) {
    Seconds sum{0.0};
    for (const ExposurePart& part : parts)
        sum += part.time;
    return sum;
}

std::optional<LevelA> loudest(ExposureParts parts) {
    std::optional<LevelA> highest;
    for (const ExposurePart& part : parts) {
        if (part.level && part.time.count() > 0.0) {
            highest = highest ? std::max(*highest, *part.level) : *part.level;
        }
    }
    return highest;
}

std::optional<LevelA> time_average(ExposureParts parts) {
    return average_over(energy_time(parts), total_time(parts));
}

std::optional<LevelA> daily_exposure_level(ExposureParts parts) {
    return average_over(energy_time(parts), reference_day);
}

std::optional<LevelA> highest_average(ExposureParts parts, Seconds window) {
    return average_over(RunningExposure(parts).largest_rise(window.count()), window);
}

double sound_exposure_Pa2h(ExposureParts parts) {
    double sum = 0.0;
    for (const ExposurePart& part : parts) {
        if (part.level) sum += sound_exposure_Pa2h(*part.level, part.time);
    }
    return sum;
}

}  // namespace earbudget
