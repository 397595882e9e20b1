#pragma once

#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "earbudget/decision/working.hpp"

namespace earbudget::report {

/// The value of a key "working": one object a step, numbers in full.
[[nodiscard]] nlohmann::ordered_json working_json(const Working& working);

/// A number to a ten-thousandth, a word, or "none".
[[nodiscard]] std::string value_words(const WorkingValue& value);

/// A section "Working" for a terminal, indented by two; empty without steps.
[[nodiscard]] std::string working_text(const Working& working);

}  // namespace earbudget::report
