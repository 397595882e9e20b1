#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The keys of [policy], each of which a [[person]] may override.
inline const std::vector<std::string> policy_keys = {
    "method",         "derating", "protection_performance", "criteria", "speech_must_be_heard",
    "least_useful_dB"};

/// The roles that there are, for messages.
inline constexpr std::string_view accepted_roles = "\"participant\" or \"staff\"";

/// Reads the [[criterion]] tables of a plan, its own criteria. Throws InputError.
[[nodiscard]] std::vector<Criterion> read_own_criteria(TableReader& plan);

/// The criteria of a plan that names none: for participants niosh-rel and iec-60601-2-33, for
/// staff niosh-rel and eu-limit. Each applies to its roles only.
[[nodiscard]] std::vector<Criterion> default_criteria();

/// Changes a policy by the keys of [policy] or of a [[person]] that overrides it: method, derating,
/// protection_performance, criteria, speech_must_be_heard. Throws InputError.
void read_policy_keys(TableReader& table, const std::vector<Criterion>& own_criteria,
                      Policy& policy);

/// Reads an array of roles, `for = ["participant", "staff"]`, or one role by its name.
[[nodiscard]] Role role_named(const Located<std::string>& name);

}  // namespace earbudget::files
