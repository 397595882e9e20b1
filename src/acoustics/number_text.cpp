#include "earbudget/acoustics/number_text.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

namespace earbudget {

std::string decimal_text(double value, int decimals) {
    // Of 309 digits before the point at most.
    std::array<char, 384> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                   std::chars_format::fixed, decimals);
    const std::string text(digits.data(), end.ptr);
    const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
    return is_zero && text.starts_with('-') ? text.substr(1) : text;
}

std::string text_of(Seconds time) {
    const double whole = std::floor(time.count());
    if (time.count() > 0.0 && time.count() < 1.0) {
        return fmt::format("{:.0f} ms", std::floor(time.count() * 1000.0));
    }
    if (time.count() < 60.0) return fmt::format("{:.3g} s", std::floor(time.count() * 10.0) / 10.0);
    const double hours = std::floor(whole / 3600.0);
    const double minutes = std::floor((whole - 3600.0 * hours) / 60.0);
    const double seconds = whole - 3600.0 * hours - 60.0 * minutes;
    std::string text;
    if (hours > 0.0) text += fmt::format("{:.0f} h ", hours);
    if (minutes > 0.0) text += fmt::format("{:.0f} min ", minutes);
    if (seconds > 0.0) text += fmt::format("{:.0f} s ", seconds);
    text.pop_back();
    return text;
}

}  // namespace earbudget
