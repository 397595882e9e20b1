#include "earbudget/exposure/criterion.hpp"

#include <algorithm>

namespace earbudget {

namespace {

// 2003/10/EC, article 2(c), by ISO 1999: days of eight hours in a week (memory).
constexpr double nominal_working_days = 5.0;

}  // namespace

bool Criterion::is_for(Role role) const {
    return std::find(roles.begin(), roles.end(), role) != roles.end();
}

double Criterion::limit() const { return is_dose(quantity) ? dose_limit_percent : rule.level.dB(); }

double Criterion::days_counted(double days_per_week) const {
    const double days = std::max(days_per_week, 1.0);
    const DaysCounted counted = exposure_quantities[quantity].days;
    if (counted == DaysCounted::All) return days;
    return counted == DaysCounted::AveragedWhereAllowed && weekly_average
               ? days / nominal_working_days
               : 1.0;
}

Criterion averaged_over_week(Criterion criterion) {
    if (!criterion.allows_weekly_average || criterion.weekly_average) return criterion;
    criterion.weekly_average = true;
    criterion.source += ", with 3(3)";
    criterion.remarks.push_back(say<CriterionPhrase::WeeklyAverage>());
    return criterion;
}

}  // namespace earbudget
