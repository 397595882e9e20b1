#pragma once

#include <string_view>

namespace earbudget::report {

/// The version of the program, as `project()` states it: "0.3.0". One source holds it, so that a
/// new version compiles one file.
[[nodiscard]] std::string_view program_version();

}  // namespace earbudget::report
