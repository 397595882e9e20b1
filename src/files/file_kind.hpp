#pragma once

#include <string_view>

#include "files/table_reader.hpp"

namespace earbudget::files {

/// Reads `kind` and `format` of a file: the kind must be this one, the format 1.
void check_kind(TableReader& file, std::string_view kind);

}  // namespace earbudget::files
