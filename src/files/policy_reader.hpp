#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// The keys of [policy], each of which a [[person]] may override.
inline const std::vector<std::string> policy_keys = {"method",
                                                     "derating",
                                                     "protection_performance",
                                                     "criteria",
                                                     "weekly_average",
                                                     "speech_must_be_heard",
                                                     "least_useful_dB",
                                                     "accepted_probability",
                                                     "peak_at_most_above_LAeq"};

/// Changes a policy by the keys of [policy] or of a [[person]] that overrides it: method, derating,
/// protection_performance, criteria, weekly_average, speech_must_be_heard, least_useful_dB,
/// accepted_probability, peak_at_most_above_LAeq.
void read_policy_keys(TableReader& table, const std::vector<Criterion>& own_criteria,
                      Policy& policy);

}  // namespace earbudget::files
