#pragma once

#include <string>

namespace earbudget::files {

/// Throws what errno says of a place that cannot be written to, as a fault of the machine.
[[noreturn]] void fail_to_write(const std::string& place);

/// Throws what errno says of it: a fault of the machine as that, anything else as InputError, with
/// what else is accepted.
[[noreturn]] void refuse_place(const std::string& place, const std::string& or_else = "");

}  // namespace earbudget::files
