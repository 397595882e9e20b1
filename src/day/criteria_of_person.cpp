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
std::vector<ExposurePart> merged_parts(const HearingDay& day, HeardAs as) {
    WorkMeter::spend(cost::judged_row * static_cast<double>(day.rows.size()));
    MergedParts merged;
    std::vector<ExposurePart> of_row;
    for (const HeardRow& row : day.rows) {
        of_row.clear();
        add_parts(row, as, of_row);
        for (ExposurePart& part : of_row) {
            part.time *= static_cast<double>(day.times_a_day(row));
            merged.add(part);
        }
    }
    return std::move(merged).parts();
}

std::vector<ExposurePart> parts_of_a_day(const Criterion& criterion, const HearingDay& day) {
    const HeardAs as = heard_as(criterion);
    if (criterion.quantity != ExposureQuantity::LAeq_1h) return merged_parts(day, as);
    WorkMeter::spend(cost::judged_row * static_cast<double>(day.rows.size() * day.sessions));
    return as == HeardAs::Outside ? day.outside() : day.at_ear();
}

}  // namespace

HeardAs heard_as(const Criterion& criterion) {
    if (!criterion.with_protection) return HeardAs::Outside;
    return is_dose(criterion.quantity) ? HeardAs::AtEarByWearing : HeardAs::AtEar;
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

std::vector<ExposurePart> parts_for(const Criterion& criterion, const HearingDay& day) {
    std::vector<ExposurePart> parts = parts_of_a_day(criterion, day);
    const double days = criterion.days_counted(day.days_per_week);
    if (days == 1.0) return parts;
    for (ExposurePart& part : parts)
        part.time *= days;
    return parts;
}

}  // namespace earbudget
