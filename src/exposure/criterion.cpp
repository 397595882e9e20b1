#include "earbudget/exposure/criterion.hpp"

#include <algorithm>

namespace earbudget {

namespace {

// 2003/10/EC, article 2(c), by ISO 1999: days of eight hours in a week (memory).
constexpr double nominal_working_days = 5.0;

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

}  // namespace earbudget
