#pragma once

#include <vector>

#include "earbudget/day/exposure_day.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "earbudget/exposure/limit.hpp"
#include "earbudget/study/plan.hpp"

namespace earbudget {

/// Whether a criterion decides a person's verdict, times and runs: one for the role that is no
/// action value. An action value says what must be done and forbids nothing; it decides only where
/// the person has nothing else.
[[nodiscard]] bool decides(const Criterion& criterion, const Person& person);

/// Whether somebody is stated to be younger than an adult.
[[nodiscard]] bool is_younger_than_adult(const Person& person);

/// Leaves out what is made for adults where another criterion is for whoever is younger: H.870 has
/// one limit for adults and one for whoever is more sensitive, children above all.
void leave_out_those_of_adults(AgeGroup age, std::vector<Criterion>& criteria);

/// The criteria of a person for whom a plan names none: those of the role, and for whoever is
/// younger than an adult H.870's for the more sensitive in the place of, or beside them.
[[nodiscard]] std::vector<Criterion> default_criteria(Role role, AgeGroup age);

/// Whether nothing can be decided for somebody of that age: for neonates no published limit is
/// known, so that one of the plan's own must be for the role.
[[nodiscard]] bool lacks_limit_of_age(const Person& person);

/// Which limits count: all that decide, or those of them that take protectors into account, since
/// wearing something changes no other.
enum class Limits { All, WithProtection };

/// The limits that wearing something else could keep: those with protectors taken into account; all
/// where the role has none such.
[[nodiscard]] Limits limits_for_protection(const Person& person);

/// Whether a criterion counts for a person.
[[nodiscard]] bool counts_for(const Criterion& criterion, const Person& person, Limits limits);

/// Outside, at the ear, or for doses at the ear with the wearing time apart.
[[nodiscard]] ExposureAt exposure_at(const Criterion& criterion);

/// The parts of a day that a criterion looks at: outside or at the ear, by wearing time for doses,
/// their times multiplied by the days that it counts (Criterion::days_counted).
[[nodiscard]] std::vector<ExposurePart> parts_for(const Criterion& criterion,
                                                  const ExposureDay& day);

}  // namespace earbudget
