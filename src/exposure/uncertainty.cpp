#include "earbudget/exposure/uncertainty.hpp"

#include <cmath>
#include <vector>

#include "earbudget/acoustics/normal_distribution.hpp"

namespace earbudget {

namespace {

std::vector<ExposurePart> raised(ExposureParts parts, double deviations) {
    std::vector<ExposurePart> result(parts.begin(), parts.end());
    for (ExposurePart& part : result) {
        if (part.level && part.uncertainty) {
            part.level = *part.level + deviations * *part.uncertainty;
        }
    }
    return result;
}

// Beyond this many deviations the probability is zero to nine decimals.
constexpr double furthest = 6.0;

// The number of deviations at which the criterion begins to be exceeded, within ±furthest.
double crossing(const Criterion& criterion, ExposureParts parts) {
    double within = -furthest;
    double over = furthest;
    for (int step = 0; step < 50; ++step) {
        const double middle = 0.5 * (within + over);
        (is_over_when_raised(criterion, parts, middle) ? over : within) = middle;
    }
    return 0.5 * (within + over);
}

}  // namespace

bool has_stated_uncertainty(ExposureParts parts) {
    double all = 0.0;
    double unstated = 0.0;
    for (const ExposurePart& part : parts) {
        if (!part.level) continue;
        const double energy = relative_energy(*part.level) * part.time.count();
        all += energy;
        if (!part.uncertainty) unstated += energy;
    }
    return all > 0.0 && unstated <= negligible_share * all;
}

double confident_deviations() {
    static const double deviations = normal_quantile(1.0 - accepted_probability_over);
    return deviations;
}

bool is_over_when_raised(const Criterion& criterion, ExposureParts parts, double deviations) {
    return is_over(criterion, raised(parts, deviations));
}

std::optional<double> probability_over(const Criterion& criterion, ExposureParts parts) {
    if (!has_stated_uncertainty(parts)) return std::nullopt;
    if (!is_over_when_raised(criterion, parts, furthest)) return 0.0;
    if (is_over_when_raised(criterion, parts, -furthest)) return 1.0;
    return normal_probability(-crossing(criterion, parts));
}

}  // namespace earbudget
