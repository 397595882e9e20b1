#pragma once

#include <string>
#include <string_view>

#include "desk/desk.hpp"
#include "earbudget/study/plan.hpp"
#include "register/register.hpp"

namespace earbudget::desk::at_session {

// Parts of the page on which a session begins: markup.

/// Of a field for a code that must be filled in.
inline constexpr std::string_view code_attributes =
    "list=\"codes\" required maxlength=\"100\" autocomplete=\"off\" autocapitalize=\"off\" "
    "spellcheck=\"false\"";

[[nodiscard]] std::string open_list(const registers::Register& from);

/// Plans by which a session can be, those that cannot be read left out.
[[nodiscard]] std::string plan_form(const Opened& desk, const std::string& chosen);

/// Codes that the register knows, to choose from as one types.
[[nodiscard]] std::string known_codes(const registers::Register& from);

/// Who it is in the plan: participants first.
[[nodiscard]] std::string person_choice(const Plan& plan, const std::string& chosen);

/// Somebody else of the plan, where they are there.
[[nodiscard]] std::string present_fields(const Plan& plan, const Form& form);

}  // namespace earbudget::desk::at_session
