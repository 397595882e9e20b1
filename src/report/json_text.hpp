#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

namespace earbudget::report {

/// A report in JSON as it is written, with a line break at the end: the data as they are, but a
/// byte that is no UTF-8 as U+FFFD. Characters that are not seen (is_unseen) are escaped (RFC 8259,
/// clause 7; memory), so that a terminal shows them, and no number is -0.
[[nodiscard]] std::string json_text(nlohmann::ordered_json report);

}  // namespace earbudget::report
