#pragma once

#include <string>

namespace earbudget {

/// Whom to call about hearing or noise, as free text; what is not stated is empty.
struct Contact {
    std::string name = {};
    std::string role = {};
    std::string phone = {};
};

}  // namespace earbudget
