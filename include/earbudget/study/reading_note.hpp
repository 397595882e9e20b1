#pragma once

#include <string>

#include "earbudget/study/input_error.hpp"

namespace earbudget {

/// Something in a file that could have been meant otherwise, and what it was taken as: a warning of
/// whatever is computed from it.
struct ReadingNote {
    std::string code;
    std::string text;
    SourcePosition where;
};

}  // namespace earbudget
