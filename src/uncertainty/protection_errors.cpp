#include "uncertainty/protection_errors.hpp"

#include <fmt/format.h>

#include "computing/work_costs.hpp"
#include "earbudget/computing/work_meter.hpp"
#include "earbudget/exposure/random_draws.hpp"

namespace earbudget {

std::size_t ErrorVariables::of(ErrorKind kind, const std::string& name) {
    const auto stream = stream_named(fmt::format("{}\n{}", name_of(kind), name));
    const auto [known, is_new] = known_.try_emplace(stream, errors_.variables.size());
    if (is_new) errors_.variables.push_back({kind, stream});
    return known->second;
}

LevelDifference ProtectionErrors::fit_of(const ExposureRow& row) const {
    if (!row.prediction) return LevelDifference(0.0);
    return is_fit_tested(row) && person_.PAR_uncertainty ? *person_.PAR_uncertainty
                                                         : person_.fit_uncertainty;
}

bool ProtectionErrors::is_fit_tested(const ExposureRow& row) const {
    return row.prediction->method == Method::Par && person_.PAR &&
           are_same_set(worn_in(row), person_.wears);
}

bool ProtectionErrors::has_own_protection(const ExposureRow& row) const {
    return row.task && person_.tasks[*row.task].wears;
}

const std::vector<std::string>& ProtectionErrors::worn_in(const ExposureRow& row) const {
    return has_own_protection(row) ? *person_.tasks[*row.task].wears : day_.wears;
}

/// Whose insertions count: the person's, or those of a task with protectors of its own.
std::optional<std::size_t> ProtectionErrors::owner_of(const ExposureRow& row) const {
    return has_own_protection(row) ? row.task : std::nullopt;
}

std::string ProtectionErrors::insertion_of(const ExposureRow& row, unsigned session) {
    const auto owner = owner_of(row);
    return fmt::format("{}\n{}\n{}", owner ? fmt::format("task {}", *owner) : "person",
                       insertions_[owner],
                       row.once_a_day ? "once a day" : fmt::format("session {}", session));
}

/// Of a task with protectors of its own that which it states; one variable a day for both.
std::optional<ErrorTerm> ProtectionErrors::wearing_time(const ExposureRow& row) {
    const double size = has_own_protection(row) ? person_.tasks[*row.task].worn_uncertainty
                                                : person_.worn_uncertainty;
    if (!(size > 0.0)) return std::nullopt;
    return ErrorTerm{variables_.of(ErrorKind::WearingTime, ""), size};
}

std::optional<SegmentProtection> ProtectionErrors::of(const ExposureRow& row, unsigned session) {
    if (!row.prediction) {
        // Nothing is worn, by no task's decision: something could be.
        if (row.with_protector || has_own_protection(row)) return std::nullopt;
        return SegmentProtection{.reduction = LevelDifference(0.0),
                                 .fraction_worn = row.fraction_worn,
                                 .wearing_time = wearing_time(row)};
    }
    SegmentProtection protection{.reduction = row.prediction->before_holding(),
                                 .poor_fit = row.poor_fit,
                                 .fraction_worn = row.fraction_worn,
                                 .wearing_time = wearing_time(row)};
    if (const PeopleSpread* spread = spread_of(row)) {
        protection.spread = spread;
        protection.people = variables_.of(ErrorKind::People, "");
    }
    // All sounds of a scanner may lie on the same side: one draw, own choice, the widest.
    if (const LevelDifference size = row.prediction->form_uncertainty; size.dB() > 0.0) {
        protection.spectrum = {variables_.of(ErrorKind::Spectrum, ""), size.dB()};
    }
    if (const LevelDifference fit = fit_of(row); fit.dB() > 0.0) {
        protection.fit = {variables_.of(ErrorKind::Fit, insertion_of(row, session)), fit.dB()};
    }
    return protection;
}

/// One for each prediction; null where none is known.
const PeopleSpread* ProtectionErrors::spread_of(const ExposureRow& row) {
    const auto [known, is_new] = spreads_.try_emplace(row.prediction.get(), nullptr);
    if (!is_new) return known->second;
    if (is_fit_tested(row)) return nullptr;
    const double alpha = row.prediction->performance.alpha();
    const auto [attenuation, is_first] = attenuations_.try_emplace({&worn_in(row), alpha});
    if (is_first) {
        WorkMeter::spend(cost::of_pairs(plan_.catalogue.pairs.size()));
        attenuation->second = attenuation_of(
            plan_.catalogue, what_counts(plan_.catalogue, person_, worn_in(row)), alpha);
    }
    const auto& worn = attenuation->second;
    auto spread = worn ? PeopleSpread::of(*row.sound, *worn, *row.prediction) : std::nullopt;
    if (!spread && worn) {
        spread = PeopleSpread::by_default(*row.prediction);
        if (spread) errors_.people_spread_by_default = true;
    }
    if (!spread) {
        errors_.people_spread_unknown = true;
        return nullptr;
    }
    errors_.spreads.push_back(std::make_shared<const PeopleSpread>(*std::move(spread)));
    return known->second = errors_.spreads.back().get();
}

void ProtectionErrors::end(const ExposureRow& row) {
    if (row.reinsert) ++insertions_[owner_of(row)];
}

}  // namespace earbudget
