#include "earbudget/exposure/dose.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace earbudget {

Seconds DoseRule::permitted_time(LevelA at) const {
    return Seconds(hours) / std::exp2((at - level).dB() / exchange.dB());
}

double dose_percent(ExposureParts parts, const DoseRule& rule) {
    double sum = 0.0;
    for (const ExposurePart& part : parts) {
        if (part.level && rule.counts(*part.level)) {
            sum += part.time / rule.permitted_time(*part.level);
        }
    }
    return 100.0 * sum;
}

std::optional<LevelA> time_weighted_average(double dose_percent, const DoseRule& rule) {
    if (!(dose_percent > 0.0)) return std::nullopt;
    return rule.level + std::log2(dose_percent / 100.0) * rule.exchange;
}

namespace {

// The dose after all levels rise by δ is 2^(δ/q) times the sum over the parts that then count,
// which are the loudest ones. So each number of counting parts has one closed-form answer, and
// the answer holds if exactly those parts count there.
DoseMargin margin_of_sorted(const std::vector<ExposurePart>& loudest_first, const DoseRule& rule,
                            double limit_percent) {
    double dose = 0.0;
    for (std::size_t i = 0; i < loudest_first.size(); ++i) {
        const ExposurePart& part = loudest_first[i];
        dose += 100.0 * (part.time / rule.permitted_time(*part.level));
        const LevelDifference until_limit = std::log2(limit_percent / dose) * rule.exchange;
        if (!rule.threshold) {
            if (i + 1 == loudest_first.size()) return {.margin = until_limit, .dose_percent = dose};
            continue;
        }
        const LevelDifference this_one_counts = *rule.threshold - *part.level;
        // Over the limit as soon as this part begins to count.
        if (until_limit < this_one_counts) {
            return {
                .margin = this_one_counts, .by = DoseMargin::By::Threshold, .level = *part.level};
        }
        const DoseMargin by_dose{.margin = until_limit, .dose_percent = dose};
        if (i + 1 == loudest_first.size()) return by_dose;
        const LevelDifference next_counts = *rule.threshold - *loudest_first[i + 1].level;
        if (until_limit < next_counts) return by_dose;
    }
    return {};  // not reached: the last part always returns
}

}  // namespace

std::optional<DoseMargin> dose_margin_worked(ExposureParts parts, const DoseRule& rule,
                                             double limit_percent) {
    std::vector<ExposurePart> sounding;
    for (const ExposurePart& part : parts) {
        if (part.level && part.time.count() > 0.0) sounding.push_back(part);
    }
    if (sounding.empty()) return std::nullopt;
    std::sort(sounding.begin(), sounding.end(),
              [](const ExposurePart& a, const ExposurePart& b) { return *a.level > *b.level; });
    const DoseMargin by_dose = margin_of_sorted(sounding, rule, limit_percent);
    if (!rule.ceiling) return by_dose;
    const LevelA highest = *sounding.front().level;
    const LevelDifference by_ceiling = *rule.ceiling - highest;
    if (!(by_ceiling < by_dose.margin)) return by_dose;
    return DoseMargin{.margin = by_ceiling, .by = DoseMargin::By::Ceiling, .level = highest};
}

std::optional<LevelDifference> dose_margin(ExposureParts parts, const DoseRule& rule,
                                           double limit_percent) {
    const auto worked = dose_margin_worked(parts, rule, limit_percent);
    return worked ? std::optional(worked->margin) : std::nullopt;
}

}  // namespace earbudget
