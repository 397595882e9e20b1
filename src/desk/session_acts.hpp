#pragma once

#include <cstdint>
#include <string>

#include "desk/desk.hpp"
#include "earbudget/acoustics/units.hpp"

namespace earbudget::desk::at_session {

/// Something else was recorded of the session since the page was made.
struct RecordedMeanwhile {
    std::int64_t seen = 0;  ///< the newest entry that the page knew
};

/// Tells the register what a form of the session's page says (Tap). All of it is recorded or, where
/// this throws, nothing: InputErrors, InputError, RecordedMeanwhile.
void tell(const Opened& desk, const Asked& asked, std::int64_t number);

/// Minutes as somebody types them, "4.5" or "4,5", or a time with its units. Throws InputError for
/// what is no time of a run.
[[nodiscard]] Seconds time_told(const std::string& text);

/// Where the page is looked at next.
[[nodiscard]] std::string address_behind(const Asked& asked, std::int64_t number);

}  // namespace earbudget::desk::at_session
