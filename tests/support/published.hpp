#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

#include "earbudget/exposure/limit.hpp"

namespace earbudget::test {

/// A published criterion by its id; throws where there is none.
inline const Criterion& published(std::string_view id) {
    const Criterion* criterion = find_published_criterion(id);
    if (!criterion) throw std::out_of_range(std::string(id));
    return *criterion;
}

/// The parts of a day, their times multiplied as a criterion counts the days of a week.
inline std::vector<ExposurePart> in_a_week(const Criterion& criterion,
                                           std::vector<ExposurePart> day, double days) {
    for (ExposurePart& part : day)
        part.time *= criterion.days_counted(days);
    return day;
}

}  // namespace earbudget::test
