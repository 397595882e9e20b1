#include "earbudget/acoustics/decimal_text.hpp"

#include <fmt/format.h>

namespace earbudget {

std::string decimal_text(double value, int decimals) {
    const std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
    return is_zero && text.starts_with('-') ? text.substr(1) : text;
}

}  // namespace earbudget
