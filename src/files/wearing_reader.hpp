#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/plan.hpp"
#include "files/table_reader.hpp"

namespace earbudget::files {

/// Reads a list of protector ids; empty when absent. Throws InputError for one that is not in the
/// catalogue.
[[nodiscard]] std::vector<std::string> read_protector_ids(TableReader& table, std::string_view key,
                                                          const Catalogue& catalogue);

/// Reads "wears": nothing, one, or a plug and an earmuff.
[[nodiscard]] std::vector<std::string> read_wears(TableReader& table, const Catalogue& catalogue);

/// Reads "worn" and "fit".
[[nodiscard]] Wearing read_wearing(TableReader& table);

/// Reads "worn_uncertainty", 0 to 0.5; 0 when absent.
[[nodiscard]] double read_worn_uncertainty(TableReader& table);

}  // namespace earbudget::files
