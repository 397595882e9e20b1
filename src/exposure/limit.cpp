#include "earbudget/exposure/limit.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace earbudget {

namespace {

std::optional<double> in_decibels(std::optional<LevelA> level) {
    return level ? std::optional(level->dB()) : std::nullopt;
}

}  // namespace

namespace quantity_value {

Value dose(const DoseRule& rule, ExposureParts parts, double days) {
    return days * dose_percent(parts, rule);
}

Value daily_level(const DoseRule& /*rule*/, ExposureParts parts, double days) {
    const auto level = daily_exposure_level(parts);
    return level ? in_decibels(*level + LevelDifference(10.0 * std::log10(days))) : std::nullopt;
}

Value highest_hour(const DoseRule& /*rule*/, ExposureParts parts, double /*days*/) {
    return in_decibels(highest_average(parts, averaging_hour));
}

Value loudest_part(const DoseRule& /*rule*/, ExposureParts parts, double /*days*/) {
    return in_decibels(loudest(parts));
}

}  // namespace quantity_value

ExposureLimit::ExposureLimit(const Criterion& criterion, double days)
    : criterion_(&criterion),
      days_(days),
      accumulation_(accumulation_of(criterion.quantity)),
      growth_(growth_of_energy),
      used_at_reference_(std::exp(growth_of_energy * (reference - criterion.rule.level).dB())) {
    const DoseRule& rule = criterion.rule;
    if (is_dose(criterion.quantity)) {
        growth_ = std::numbers::ln2 / rule.exchange.dB();
        used_at_reference_ =
            days * 100.0 / criterion.dose_limit_percent / rule.permitted_time(reference).count();
        threshold_ = rule.threshold;
    } else if (is_sum()) {
        used_at_reference_ *= days / reference_day.count();
    }
}

ExposureLimit ExposureLimit::of_loudest_part() const {
    ExposureLimit loudest = *this;
    loudest.accumulation_ = Accumulation::Loudest;
    return loudest;
}

ExposureLimit ExposureLimit::without_threshold() const {
    ExposureLimit smooth = *this;
    smooth.threshold_.reset();
    return smooth;
}

double ExposureLimit::used_by(std::optional<LevelA> level) const {
    if (!level || (is_dose(criterion_->quantity) && !criterion_->rule.counts(*level))) return 0.0;
    return used_at_reference_ * std::exp(growth_ * (*level - reference).dB());
}

double ExposureLimit::used(ExposureParts parts) const { return used_at(value(parts)); }

std::optional<double> ExposureLimit::value(ExposureParts parts) const {
    if (accumulation_ == Accumulation::Loudest) return in_decibels(loudest(parts));
    return exposure_quantities[criterion_->quantity].value(criterion_->rule, parts, days_);
}

double ExposureLimit::value_of(double used) const {
    if (is_dose(criterion_->quantity)) return used * criterion_->limit();
    return criterion_->limit() + 10.0 * std::log10(used);
}

double ExposureLimit::used_at(std::optional<double> value) const {
    if (!value) return 0.0;
    if (is_dose(criterion_->quantity)) return *value / criterion_->limit();
    return std::pow(10.0, (*value - criterion_->limit()) / 10.0);
}

LevelDifference ExposureLimit::margin_of(double used) const {
    return LevelDifference(-std::log(used) / growth_);
}

double ExposureLimit::as_sum() const {
    if (is_dose(criterion_->quantity)) return criterion_->limit();
    return relative_energy(criterion_->rule.level) * reference_day.count();
}

std::optional<LevelA> ExposureLimit::highest_permitted() const {
    const auto& ceiling = criterion_->rule.ceiling;
    if (accumulation_ != Accumulation::Loudest) return ceiling;
    return ceiling ? std::min(*ceiling, criterion_->rule.level) : criterion_->rule.level;
}

bool ExposureLimit::forbids(std::optional<LevelA> level) const {
    const bool too_loud = accumulation_ == Accumulation::Loudest && is_above_limit(used_by(level));
    return too_loud || is_above_ceiling(level);
}

bool ExposureLimit::is_above_ceiling(std::optional<LevelA> level) const {
    const auto& ceiling = criterion_->rule.ceiling;
    return ceiling && level && is_above(*level, *ceiling);
}

std::optional<double> value_of(const Criterion& criterion, ExposureParts parts) {
    return ExposureLimit(criterion).value(parts);
}

std::optional<LevelDifference> margin_of(const Criterion& criterion, ExposureParts parts) {
    if (is_dose(criterion.quantity)) return dose_margin(parts, criterion.rule, criterion.limit());
    const auto value = value_of(criterion, parts);
    return value ? std::optional(LevelDifference(criterion.limit() - *value)) : std::nullopt;
}

bool is_over(const Criterion& criterion, ExposureParts parts) {
    const ExposureLimit limit(criterion);
    return is_above_limit(limit.used(parts)) || limit.is_above_ceiling(loudest(parts));
}

}  // namespace earbudget
