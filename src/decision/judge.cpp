#include "earbudget/decision/judge.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earbudget/exposure/uncertainty.hpp"

namespace earbudget {

namespace {

std::string exposure_remark(const Criterion& criterion, ExposureParts parts) {
    const auto highest = loudest(parts);
    const auto& ceiling = criterion.rule.ceiling;
    if (!ceiling || !highest || *highest <= *ceiling) return criterion.remark;
    return fmt::format(
        "a level of {:.1f} dB(A) is above {:.0f} dB(A), which is not permitted for "
        "any time{}{}",
        highest->dB(), ceiling->dB(), criterion.remark.empty() ? "" : "; ", criterion.remark);
}

bool judges(const Criterion& criterion, const Person& person) {
    return criterion.is_for(person.role);
}

}  // namespace

Verdict verdict_by(bool over, std::optional<double> probability_over) {
    if (over) return Verdict::Over;
    const bool close = probability_over && *probability_over > accepted_probability_over;
    return close ? Verdict::Close : Verdict::Within;
}

std::vector<ExposurePart> parts_for(const Criterion& criterion, const HearingDay& day) {
    if (!criterion.with_protection) return day.outside();
    return criterion.quantity == ExposureQuantity::Dose ? day.at_ear_by_wearing() : day.at_ear();
}

CriterionResult judge_exposure(const Criterion& criterion, const HearingDay& day) {
    const auto parts = parts_for(criterion, day);
    const auto probability = probability_over(criterion, parts);
    return {.criterion = &criterion,
            .quantity = std::string(name_of(criterion.quantity)),
            .unit = criterion.quantity == ExposureQuantity::Dose ? "percent" : "dB",
            .value = value_of(criterion, parts),
            .limit = criterion.limit(),
            .at_ear = criterion.with_protection,
            .margin = margin_of(criterion, parts),
            .probability_over = probability,
            .verdict = verdict_by(is_over(criterion, parts), probability),
            .remark = exposure_remark(criterion, parts)};
}

bool is_over_any(const Person& person, const HearingDay& day) {
    const auto& criteria = person.policy.criteria;
    return std::any_of(criteria.begin(), criteria.end(), [&](const Criterion& criterion) {
        return judges(criterion, person) && is_over(criterion, parts_for(criterion, day));
    });
}

Verdict worst_exposure_verdict(const Person& person, const HearingDay& day) {
    std::optional<Verdict> worst;
    for (const Criterion& criterion : person.policy.criteria) {
        if (!judges(criterion, person)) continue;
        worst = std::max(worst, std::optional(judge_exposure(criterion, day).verdict));
    }
    return worst.value_or(Verdict::Unknown);
}

bool is_over_any_when_raised(const Person& person, const HearingDay& day, double deviations) {
    const auto& criteria = person.policy.criteria;
    return std::any_of(criteria.begin(), criteria.end(), [&](const Criterion& criterion) {
        return judges(criterion, person) &&
               is_over_when_raised(criterion, parts_for(criterion, day), deviations);
    });
}

}  // namespace earbudget
