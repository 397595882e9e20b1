#pragma once

#include "earbudget/acoustics/message.hpp"
#include "earbudget/exposure/criterion.hpp"
#include "sessions/exposure_record.hpp"
#include "sessions/json_parts.hpp"

namespace earbudget::sessions {

// Parts of a record (exposure_json.hpp), each to JSON and back.

[[nodiscard]] Json json_of(const Criterion& criterion);
[[nodiscard]] Criterion read_criterion(const Json& json);

[[nodiscard]] Json json_of(const PeaksBy& peaks);
[[nodiscard]] PeaksBy read_peaks(const Json& json);

/// A phrase on criteria by its name, anything else as the text that it is.
[[nodiscard]] Json json_of(const Message& message);
[[nodiscard]] Message read_message(const Json& json);

}  // namespace earbudget::sessions
