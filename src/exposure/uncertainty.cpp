#include "earbudget/exposure/uncertainty.hpp"

#include <algorithm>
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

// What a second at a level adds to what the criterion adds up, up to a factor. Thresholds are left
// out, since an error may lift a level over one.
double weight(const Criterion& criterion, LevelA level) {
    if (!is_dose(criterion.quantity)) return relative_energy(level);
    return Seconds(1.0) / criterion.rule.permitted_time(level);
}

// Beyond this many deviations the probability is zero to nine decimals.
constexpr double furthest = 6.0;

// The number of deviations at which the criterion begins to be exceeded, within ±furthest.
double crossing(const Criterion& criterion, ExposureParts parts) {
    double within = -furthest;
    double over = furthest;
    for (int step = 0; step < 40; ++step) {  // to 1e-11 deviations
        const double middle = 0.5 * (within + over);
        (is_over_when_raised(criterion, parts, middle) ? over : within) = middle;
    }
    return 0.5 * (within + over);
}

// The same for a level, which rises almost straight with the deviations and without steps: regula
// falsi (Illinois) gets there in a few.
double crossing_of_level(const Criterion& criterion, ExposureParts parts) {
    const auto above_limit = [&](double deviations) {
        return value_of(criterion, raised(parts, deviations)).value() - criterion.limit();
    };
    double within = -furthest;
    double over = furthest;
    double f_within = above_limit(within);
    double f_over = above_limit(over);
    int kept = 0;
    for (int step = 0; step < 60 && over - within > 1e-11; ++step) {
        const double middle = (within * f_over - over * f_within) / (f_over - f_within);
        const double f = above_limit(middle);
        if (std::abs(f) < 1e-12) return middle;
        if (f > 0.0) {
            over = middle;
            f_over = f;
            if (kept == 1) f_within *= 0.5;
            kept = 1;
        } else {
            within = middle;
            f_within = f;
            if (kept == -1) f_over *= 0.5;
            kept = -1;
        }
    }
    return 0.5 * (within + over);
}

// Of the loudest part no time is negligible: only how far below the loudest, or the limit, it is.
bool loudest_is_stated(const Criterion& criterion, ExposureParts parts) {
    double highest = relative_energy(criterion.rule.level);
    double unstated = 0.0;
    for (const ExposurePart& part : parts) {
        if (!part.level || !(part.time.count() > 0.0)) continue;
        const double power = relative_energy(*part.level);
        highest = std::max(highest, power);
        if (!part.uncertainty) unstated = std::max(unstated, power);
    }
    return unstated <= negligible_share * highest;
}

}  // namespace

bool has_stated_uncertainty(const Criterion& criterion, ExposureParts parts) {
    if (criterion.quantity == ExposureQuantity::LAeq_loudest) {
        return loudest_is_stated(criterion, parts);
    }
    double all = 0.0;
    double unstated = 0.0;
    for (const ExposurePart& part : parts) {
        if (!part.level) continue;
        const double amount = weight(criterion, *part.level) * part.time.count();
        all += amount;
        if (!part.uncertainty) unstated += amount;
    }
    double limit = weight(criterion, criterion.rule.level) * Seconds(criterion.rule.hours).count();
    if (is_dose(criterion.quantity)) limit *= criterion.dose_limit_percent / 100.0;
    return unstated <= negligible_share * std::max(all, limit);
}

double confident_deviations() {
    static const double deviations = normal_quantile(1.0 - accepted_probability_over);
    return deviations;
}

bool is_over_when_raised(const Criterion& criterion, ExposureParts parts, double deviations) {
    return is_over(criterion, raised(parts, deviations));
}

std::optional<WorkedProbability> probability_over_worked(const Criterion& criterion,
                                                         ExposureParts parts) {
    if (!loudest(parts) || !has_stated_uncertainty(criterion, parts)) return std::nullopt;
    if (!is_over_when_raised(criterion, parts, furthest)) return WorkedProbability{0.0, {}};
    if (is_over_when_raised(criterion, parts, -furthest)) return WorkedProbability{1.0, {}};
    const bool is_level = !is_dose(criterion.quantity) && !criterion.rule.ceiling;
    const double deviations =
        is_level ? crossing_of_level(criterion, parts) : crossing(criterion, parts);
    return WorkedProbability{normal_probability(-deviations), deviations};
}

std::optional<double> probability_over(const Criterion& criterion, ExposureParts parts) {
    const auto worked = probability_over_worked(criterion, parts);
    return worked ? std::optional(worked->probability) : std::nullopt;
}

}  // namespace earbudget
