#include "earbudget/exposure/criterion.hpp"

#include <algorithm>

namespace earbudget {

namespace {

// Relative slack for values that equal the limit on paper: rounding of a few hundred sums.
constexpr double arithmetic_slack = 1e-9;

std::optional<double> in_decibels(std::optional<LevelA> level) {
    return level ? std::optional(level->dB()) : std::nullopt;
}

}  // namespace

std::string_view name_of(Role role) {
    switch (role) {
        case Role::Participant:
            return "participant";
        case Role::Staff:
            return "staff";
    }
    return "";
}

std::string_view name_of(ExposureQuantity quantity) {
    switch (quantity) {
        case ExposureQuantity::Dose:
            return "dose";
        case ExposureQuantity::LEX_8h:
            return "LEX_8h";
        case ExposureQuantity::LAeq_1h:
            return "LAeq_1h";
    }
    return "";
}

bool Criterion::is_for(Role role) const {
    return std::find(roles.begin(), roles.end(), role) != roles.end();
}

double Criterion::limit() const {
    return quantity == ExposureQuantity::Dose ? 100.0 : rule.level.dB();
}

std::optional<double> value_of(const Criterion& criterion, ExposureParts parts) {
    switch (criterion.quantity) {
        case ExposureQuantity::Dose:
            return dose_percent(parts, criterion.rule);
        case ExposureQuantity::LEX_8h:
            return in_decibels(daily_exposure_level(parts));
        case ExposureQuantity::LAeq_1h:
            return in_decibels(highest_average(parts, Hours(1)));
    }
    return std::nullopt;
}

std::optional<LevelDifference> margin_of(const Criterion& criterion, ExposureParts parts) {
    if (criterion.quantity == ExposureQuantity::Dose) {
        return dose_margin(parts, criterion.rule, criterion.limit());
    }
    const auto value = value_of(criterion, parts);
    if (!value) return std::nullopt;
    return LevelDifference(criterion.limit() - *value);
}

bool is_over(const Criterion& criterion, ExposureParts parts) {
    const auto value = value_of(criterion, parts);
    if (value && *value > criterion.limit() * (1.0 + arithmetic_slack)) return true;
    const auto highest = loudest(parts);
    return criterion.rule.ceiling && highest && *highest > *criterion.rule.ceiling;
}

}  // namespace earbudget
