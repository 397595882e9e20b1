#pragma once

#include "desk/desk.hpp"

namespace earbudget::desk::at_session {

// GET /session, POST /session/before, POST /session, POST /teller.

[[nodiscard]] Reply begin_page(const Opened& desk, const Asked& asked, const Parts& parts);
/// The same page with what the person heard before; nothing is recorded.
[[nodiscard]] Reply heard_before(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply begun(const Opened& desk, const Asked& asked, const Parts& parts);
[[nodiscard]] Reply teller_named(const Opened& desk, const Asked& asked, const Parts& parts);

[[nodiscard]] Reply no_register(const Asked& asked);

/// Nobody is named who tells what was pressed: asks for their code, and leads back.
[[nodiscard]] Reply who_tells_it(const Asked& asked, const std::string& back);

}  // namespace earbudget::desk::at_session
