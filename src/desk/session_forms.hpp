#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "desk/session_look.hpp"

namespace earbudget::desk::at_session {

/// One tap that tells the register something. All are texts but `inside`.
struct Tap {
    std::string id;   ///< on the page, so that the focus stays where it was
    std::string act;  ///< what is done, a row of session_acts.cpp
    std::string label;
    std::string key = {};
    std::string look = {};
    std::vector<std::pair<std::string, std::string>> fields = {};
    std::string inside = {};  ///< fields to be filled in, before the button: markup
};

/// A form with one button. It carries the newest entry that its page showed, so that nothing is
/// told twice, or on top of what somebody else told meanwhile.
[[nodiscard]] std::string tap(const Look& look, const Tap& tap);

/// A short field beside a button; `label` is read out and shown.
[[nodiscard]] std::string small_field(std::string_view id, std::string_view name,
                                      std::string_view label, std::string_view value = {},
                                      std::string_view attributes = {});

/// A row of taps: markup.
[[nodiscard]] std::string taps(const std::vector<std::string>& each,
                               std::string_view css_class = "taps");

}  // namespace earbudget::desk::at_session
