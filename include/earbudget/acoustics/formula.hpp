#pragma once

#include <string_view>

namespace earbudget {

/// How a number is computed, for readers: the formula as published and where it stands. Kept beside
/// the function that computes it.
struct Formula {
    std::string_view text;
    std::string_view source;  ///< document and clause
};

}  // namespace earbudget
