#include "files/decimal_comma.hpp"

#include <algorithm>

namespace earbudget::files {

std::optional<std::string> with_decimal_point(std::string_view number) {
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    const bool has_sign = number.starts_with('-') || number.starts_with('+');
    const std::string_view digits = number.substr(has_sign ? 1 : 0);
    const std::size_t comma = digits.find(',');
    if (comma == digits.npos || comma == 0 || comma + 1 == digits.size()) return std::nullopt;
    if (!std::ranges::all_of(digits.substr(0, comma), is_digit) ||
        !std::ranges::all_of(digits.substr(comma + 1), is_digit))
        return std::nullopt;
    std::string result(number);
    std::ranges::replace(result, ',', '.');
    return result;
}

}  // namespace earbudget::files
