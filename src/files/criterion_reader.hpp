#pragma once

#include <string_view>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The roles that there are, for messages.
inline constexpr std::string_view accepted_roles = "\"participant\", \"staff\" or \"accompanying\"";

/// The role of a name. Throws InputError.
[[nodiscard]] Role role_named(const Located<std::string>& name);

/// Reads the [[criterion]] tables of a plan, its own criteria.
[[nodiscard]] std::vector<Criterion> read_own_criteria(TableReader& plan);

/// Reads `criteria`, ids of published criteria and of the plan's own; unchanged where it is absent.
void read_criteria(TableReader& table, const std::vector<Criterion>& own_criteria, Policy& policy);

/// What a person's criteria come to once all is read: those of the role where none is named, each
/// averaged over the week where the policy says so, the criterion allows it and days_per_week is
/// stated.
void settle_criteria(Person& person);

/// A criterion of the plan's own counts for everyone whom it is for where neither the facility's
/// `criteria` nor those of one of them name it: nobody defines one to have it passed over.
void add_unnamed_criteria(const std::vector<Criterion>& own_criteria, const Policy& facility,
                          std::vector<Person>& people);

}  // namespace earbudget::files
