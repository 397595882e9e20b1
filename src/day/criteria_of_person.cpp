#include "earbudget/day/criteria_of_person.hpp"

#include <algorithm>
#include <map>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"

namespace earbudget {

namespace {

/// Parts in the order in which their levels first come.
class MergedParts {
  public:
    void add(const ExposurePart& part) {
        const auto level = part.level ? std::optional(part.level->dB()) : std::nullopt;
        const auto [place, is_new] = place_of_.try_emplace(level, parts_.size());
        if (is_new) {
            parts_.push_back(part);
        } else {
            parts_[place->second].time += part.time;
        }
    }
    [[nodiscard]] std::vector<ExposurePart> parts() && { return std::move(parts_); }

  private:
    std::vector<ExposurePart> parts_;
    std::map<std::optional<double>, std::size_t> place_of_;
};

/// The parts of a day, their order left open and equal ones made one: sums do not ask for it.
std::vector<ExposurePart> merged_parts(const ExposureDay& day, ExposureAt as) {
    WorkMeter::spend(cost::judged_row * static_cast<double>(day.rows.size()));
    MergedParts merged;
    std::vector<ExposurePart> of_row;
    for (const ExposureRow& row : day.rows) {
        of_row.clear();
        add_parts(row, as, of_row);
        for (ExposurePart& part : of_row) {
            part.time *= static_cast<double>(day.times_a_day(row));
            merged.add(part);
        }
    }
    return std::move(merged).parts();
}

/// In order, at the ear each row at its average or by wearing time.
std::vector<ExposurePart> parts_of(const ExposureDay& day, ExposureAt as) {
    std::vector<ExposurePart> parts;
    const auto course = day.course();
    parts.reserve(course.size());
    for (const std::size_t i : course)
        add_parts(day.rows[i], as, parts);
    return parts;
}

std::vector<ExposurePart> parts_of_a_day(const Criterion& criterion, const ExposureDay& day) {
    const ExposureAt as = exposure_at(criterion);
    if (criterion.quantity != ExposureQuantity::LAeq_1h) return merged_parts(day, as);
    WorkMeter::spend(cost::judged_row * static_cast<double>(day.rows.size() * day.sessions));
    return as == ExposureAt::Outside ? day.outside() : day.at_ear();
}

}  // namespace

void add_parts(const ExposureRow& row, ExposureAt as, std::vector<ExposurePart>& parts) {
    switch (as) {
        case ExposureAt::Outside:
            parts.push_back({row.outside(), row.time});
            return;
        case ExposureAt::AtEar:
            parts.push_back({row.at_ear, row.time});
            return;
        case ExposureAt::AtEarByWearing:
            break;
    }
    const double worn = row.prediction || row.wearing_apart ? row.fraction_worn : 1.0;
    if (worn > 0.0) parts.push_back({row.while_worn, worn * row.time});
    if (worn < 1.0) {
        parts.push_back({row.outside(), (1.0 - worn) * row.time});
    }
}

bool ExposureDay::uses(Method any) const {
    return std::ranges::any_of(rows, [any](const ExposureRow& row) {
        return row.prediction && row.prediction->method == any;
    });
}

std::vector<ExposurePart> ExposureDay::outside() const {
    return parts_of(*this, ExposureAt::Outside);
}

std::vector<ExposurePart> ExposureDay::at_ear() const { return parts_of(*this, ExposureAt::AtEar); }

std::vector<ExposurePart> ExposureDay::at_ear_by_wearing() const {
    return parts_of(*this, ExposureAt::AtEarByWearing);
}

std::vector<std::size_t> ExposureDay::course() const {
    std::vector<std::size_t> once;
    std::vector<std::size_t> session;
    for (std::size_t i = 0; i < rows.size(); ++i)
        (rows[i].once_a_day ? once : session).push_back(i);
    once.reserve(once.size() + sessions * session.size());
    for (unsigned n = 0; n < sessions; ++n)
        once.insert(once.end(), session.begin(), session.end());
    return once;
}

ExposureAt exposure_at(const Criterion& criterion) {
    if (!criterion.with_protection) return ExposureAt::Outside;
    return is_dose(criterion.quantity) ? ExposureAt::AtEarByWearing : ExposureAt::AtEar;
}

bool decides(const Criterion& criterion, const Person& person) {
    if (!criterion.is_for(person.role)) return false;
    if (criterion.kind != CriterionKind::ActionValue) return true;
    return std::ranges::none_of(person.policy.criteria, [&](const Criterion& other) {
        return other.is_for(person.role) && other.kind != CriterionKind::ActionValue;
    });
}

Limits limits_for_protection(const Person& person) {
    const bool any = std::ranges::any_of(person.policy.criteria, [&](const Criterion& criterion) {
        return criterion.is_for(person.role) && criterion.with_protection;
    });
    return any ? Limits::WithProtection : Limits::All;
}

bool counts_for(const Criterion& criterion, const Person& person, Limits limits) {
    return decides(criterion, person) && (limits == Limits::All || criterion.with_protection);
}

std::vector<ExposurePart> parts_for(const Criterion& criterion, const ExposureDay& day) {
    std::vector<ExposurePart> parts = parts_of_a_day(criterion, day);
    const double days = criterion.days_counted(day.days_per_week);
    if (days == 1.0) return parts;
    for (ExposurePart& part : parts)
        part.time *= days;
    return parts;
}

bool is_younger_than_adult(const Person& person) {
    return person.age_group && *person.age_group != AgeGroup::Adult;
}

void leave_out_those_of_adults(AgeGroup age, std::vector<Criterion>& criteria) {
    if (age == AgeGroup::Adult) return;
    std::erase_if(criteria,
                  [](const Criterion& criterion) { return criterion.id == "who-public-adult"; });
}

std::vector<Criterion> default_criteria(Role role, AgeGroup age) {
    std::vector<Criterion> criteria = default_criteria(role);
    if (age == AgeGroup::Adult) return criteria;
    leave_out_those_of_adults(age, criteria);
    const Criterion& of_children = *find_published_criterion("who-public-child");
    if (of_children.is_for(role)) criteria.push_back(of_children);
    return criteria;
}

bool lacks_limit_of_age(const Person& person) {
    if (person.age_group != AgeGroup::Neonate) return false;
    return std::ranges::none_of(person.policy.criteria, [&](const Criterion& criterion) {
        return criterion.is_for(person.role) && !find_published_criterion(criterion.id);
    });
}

}  // namespace earbudget
