#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// Whether what is wrong with one of these protectors is in the list already.
[[nodiscard]] bool lost_any(const ErrorList& errors, const std::vector<std::string>& protectors);

/// Reads a list of protector ids; empty when absent. One that is not in the catalogue is a mistake.
[[nodiscard]] std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                                          const Catalogue& catalogue);

/// Reads "wears": nothing, one, or a plug and an earmuff.
[[nodiscard]] std::vector<std::string> read_wears(TableReader& table, const Catalogue& catalogue);

/// Reads "worn" and "fit".
[[nodiscard]] Wearing read_wearing(TableReader& table);

/// Reads "worn_uncertainty", 0 to 0.5; 0 when absent.
[[nodiscard]] double read_worn_uncertainty(TableReader& table);

}  // namespace earbudget::files
