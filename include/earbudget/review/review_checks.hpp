#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "earbudget/study/sequence.hpp"

namespace earbudget {

/// How an item of the checklist stands.
enum class CheckState {
    Ok,        ///< stated, and nothing speaks against it
    Doubtful,  ///< stated, but somebody should look at it
    Missing    ///< not stated
};

/// As written in JSON: "ok", "doubtful", "missing".
[[nodiscard]] std::string_view name_of(CheckState state);

/// One item that a committee ticks before it approves a sequence.
struct ReviewCheck {
    std::string code;
    CheckState state = CheckState::Missing;
    std::string text;          ///< what is stated, or what is wrong with it
    std::string to_do = {};    ///< empty where it is Ok
    bool needed_first = true;  ///< while it is missing nothing can be approved
};

/// Every item, in the order in which a committee reads: where the levels come from, how good the
/// measurement is, then the levels themselves. The free text of a card is searched for words, so
/// that a person must still read it.
[[nodiscard]] std::vector<ReviewCheck> check_card(const Sequence& sequence);

/// Those with this state.
[[nodiscard]] std::vector<const ReviewCheck*> checks_in(const std::vector<ReviewCheck>& checks,
                                                        CheckState state);

/// The check with this code; null where there is none.
[[nodiscard]] const ReviewCheck* find_check(const std::vector<ReviewCheck>& checks,
                                            std::string_view code);

}  // namespace earbudget
