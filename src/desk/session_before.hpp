#pragma once

#include <string>

#include "earbudget/exposure/criterion.hpp"
#include "register/register.hpp"

namespace earbudget::desk::at_session {

/// What somebody heard before a session begins, today and in the week.
struct HeardBefore {
    std::string markup = {};
    /// Something was heard, or stops: it must be read before the session begins.
    bool must_be_read = false;
    bool must_stop = false;
    /// What tells whether it was read as it is now.
    std::string seal = {};
};

[[nodiscard]] HeardBefore before(const registers::Register& from, const std::string& as, Role role);

}  // namespace earbudget::desk::at_session
