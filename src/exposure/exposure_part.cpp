#include "earbudget/exposure/exposure_part.hpp"

#include <algorithm>
#include <vector>

#include "earbudget/acoustics/units.hpp"

namespace earbudget {

namespace {

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
        times_.reserve(parts.size() + 1);
        energies_.reserve(parts.size() + 1);
        for (const ExposurePart& part : parts) {
            const double power = part.level ? relative_energy(*part.level) : 0.0;
            times_.push_back(times_.back() + part.time.count());
            energies_.push_back(energies_.back() + power * part.time.count());
        }
    }

    struct Rise {
        double energy = 0.0;
        double begin = 0.0;
    };

    // The largest rise over any stretch of `window` seconds: it begins or ends where a part does.
    [[nodiscard]] Rise largest_rise(double window) const {
        Rise largest;
        const auto consider = [&largest](double energy, double begin) {
            if (energy > largest.energy) largest = {energy, begin};
        };
        Reader ahead(*this);
        Reader behind(*this);
        for (std::size_t i = 0; i < times_.size(); ++i) {
            consider(ahead.until(times_[i] + window) - energies_[i], times_[i]);
            consider(energies_[i] - behind.until(times_[i] - window), times_[i] - window);
        }
        return largest;
    }

  private:
    // Reads the course at times that never fall.
    class Reader {
      public:
        explicit Reader(const RunningExposure& course) : course_(course) {}

        [[nodiscard]] double until(double time) {
            const auto& times = course_.times_;
            const auto& energies = course_.energies_;
            if (time <= 0.0) return 0.0;
            if (time >= times.back()) return energies.back();
            while (times[next_] <= time)
                ++next_;
            const double fraction = (time - times[next_ - 1]) / (times[next_] - times[next_ - 1]);
            return energies[next_ - 1] + fraction * (energies[next_] - energies[next_ - 1]);
        }

      private:
        const RunningExposure& course_;
        std::size_t next_ = 1;
    };

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

std::optional<LoudestStretch> loudest_stretch(ExposureParts parts, Seconds window) {
    const auto rise = RunningExposure(parts).largest_rise(window.count());
    const auto average = average_over(rise.energy, window);
    if (!average) return std::nullopt;
    return LoudestStretch{Seconds(rise.begin), *average};
}

std::optional<LevelA> highest_average(ExposureParts parts, Seconds window) {
    const auto stretch = loudest_stretch(parts, window);
    return stretch ? std::optional(stretch->average) : std::nullopt;
}

double sound_exposure_Pa2h(ExposureParts parts) {
    double sum = 0.0;
    for (const ExposurePart& part : parts) {
        if (part.level) sum += sound_exposure_Pa2h(*part.level, part.time);
    }
    return sum;
}

}  // namespace earbudget
