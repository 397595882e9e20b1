#include "earbudget/exposure/criterion.hpp"

#include <algorithm>

namespace earbudget {

namespace {

// 2003/10/EC, article 2(c), by ISO 1999: days of eight hours in a week (memory).
constexpr double nominal_working_days = 5.0;

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
        case Role::Accompanying:
            return "accompanying";
    }
    return "";
}

std::string_view name_of(ExposureQuantity quantity) {
    switch (quantity) {
        case ExposureQuantity::Dose:
            return "dose";
        case ExposureQuantity::WeeklyDose:
            return "weekly_dose";
        case ExposureQuantity::LEX_8h:
            return "LEX_8h";
        case ExposureQuantity::LAeq_1h:
            return "LAeq_1h";
        case ExposureQuantity::LAeq_loudest:
            return "LAeq_loudest";
    }
    return "";
}

std::string_view name_of(CriterionKind kind) {
    switch (kind) {
        case CriterionKind::Limit:
            return "limit";
        case CriterionKind::ActionValue:
            return "action-value";
        case CriterionKind::Classification:
            return "classification";
    }
    return "";
}

bool Criterion::is_for(Role role) const {
    return std::find(roles.begin(), roles.end(), role) != roles.end();
}

double Criterion::limit() const { return is_dose(quantity) ? dose_limit_percent : rule.level.dB(); }

double Criterion::days_counted(double days_per_week) const {
    const double days = std::max(days_per_week, 1.0);
    if (quantity == ExposureQuantity::WeeklyDose) return days;
    return quantity == ExposureQuantity::LEX_8h && weekly_average ? days / nominal_working_days
                                                                  : 1.0;
}

Criterion averaged_over_week(Criterion criterion) {
    if (!criterion.allows_weekly_average || criterion.weekly_average) return criterion;
    criterion.weekly_average = true;
    criterion.source += ", with 3(3)";
    const std::string before = criterion.remark.empty() ? "" : criterion.remark + "; ";
    criterion.remark =
        before +
        "the weekly average LEX,w stands for the daily level: article 3(3) is for exposure that "
        "varies markedly from day to day, asks for adequate monitoring and needs national law that "
        "allows it (from memory); the employer and the competent authority answer for that";
    return criterion;
}

std::optional<double> value_of(const Criterion& criterion, ExposureParts parts) {
    switch (criterion.quantity) {
        case ExposureQuantity::Dose:
        case ExposureQuantity::WeeklyDose:
            return dose_percent(parts, criterion.rule);
        case ExposureQuantity::LEX_8h:
            return in_decibels(daily_exposure_level(parts));
        case ExposureQuantity::LAeq_1h:
            return in_decibels(highest_average(parts, Hours(1)));
        case ExposureQuantity::LAeq_loudest:
            return in_decibels(loudest(parts));
    }
    return std::nullopt;
}

std::optional<LevelDifference> margin_of(const Criterion& criterion, ExposureParts parts) {
    if (is_dose(criterion.quantity)) {
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
    return criterion.rule.ceiling && highest && *highest > *criterion.rule.ceiling + level_slack;
}

}  // namespace earbudget
