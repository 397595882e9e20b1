#include "cli/option_values.hpp"

#include <charconv>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <system_error>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/messages.hpp"
#include "files/decimal_comma.hpp"

namespace earbudget::cli {

namespace {

[[noreturn]] void refuse(const CLI::App& command, const CLI::Option& option,
                         const std::string& problem) {
    throw UsageProblem(fmt::format("earbudget {}: {} {}; accepted: {}", command.get_name(),
                                   name_of(option), problem, accepted_of(option)));
}

/// Whether a text is wholly a number of this type, in decimal digits.
template <class Number>
bool is_number(std::string_view text) {
    // The parser of the command line takes a leading zero for octal.
    if (text.starts_with('+')) text.remove_prefix(1);
    if (std::is_integral_v<Number> && text.size() > 1 && text.starts_with('0')) return false;
    Number number{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    const bool is_whole = error == std::errc() && end == text.data() + text.size();
    return is_whole && std::isfinite(static_cast<double>(number)) && !text.starts_with('+');
}

/// By the type that the option was declared with: "FLOAT", "UINT" or "INT", and its checks.
bool fits(const CLI::Option& option, std::string_view value) {
    const std::string type = option.get_type_name();
    if (type.starts_with("FLOAT")) return is_number<double>(value);
    if (type.starts_with("UINT")) return is_number<std::uint32_t>(value);
    return !type.starts_with("INT") || (is_number<std::int64_t>(value) && value != "-0");
}

void check_value(const CLI::App& command, const CLI::Option& option, const std::string& value) {
    if (value.empty()) refuse(command, option, "is empty");
    if (!fits(option, value))
        refuse(command, option, fmt::format("is \"{}\"{}", value, why_no_number(value)));
}

bool is_option_of(const CLI::App& command, const std::string& word) {
    return command.get_option_no_throw(word.substr(0, word.find('='))) != nullptr;
}

}  // namespace

std::string name_of(const CLI::Option& option) { return "--" + option.get_lnames().front(); }

bool takes_a_value(const CLI::Option& option) { return option.get_items_expected_min() > 0; }

std::string accepted_of(const CLI::Option& option) {
    return fmt::format("{} {}: {}", name_of(option),
                       takes_a_value(option) ? option.get_option_text() : "without a value",
                       option.get_description());
}

std::string why_no_number(const std::string& value) {
    if (const auto right = files::with_decimal_point(value))
        return fmt::format(", with a decimal comma (with a decimal point: {})", *right);
    const std::size_t end = value.find_first_not_of("+-.0123456789");
    const bool has_unit =
        end != 0 && end != std::string::npos && value.find_first_of("0123456789") < end;
    return has_unit ? ", with more than a number" : "";
}

void check_option_values(const CLI::App& command, std::span<const char* const> words) {
    for (std::size_t n = 0; n < words.size(); ++n) {
        const std::string word = words[n];
        if (word == "--") return;
        if (!word.starts_with("--")) continue;
        const std::size_t equals = word.find('=');
        const CLI::Option* option = command.get_option_no_throw(word.substr(0, equals));
        if (option == nullptr || !takes_a_value(*option)) continue;
        if (equals != std::string::npos) {
            check_value(command, *option, word.substr(equals + 1));
            continue;
        }
        if (++n >= words.size()) return;  // the parser says so
        const std::string value = words[n];
        // It would be taken for the value: --output --force would write a file of that name.
        if (value.starts_with('-') && is_option_of(command, value))
            refuse(command, *option, "has no value");
        check_value(command, *option, value);
    }
}

void take_minus_zero_for_zero(CLI::App& command) {
    const auto without_sign = [](const std::string& value) {
        double number = 1.0;
        std::from_chars(value.data(), value.data() + value.size(), number);
        return number == 0.0 && value.starts_with('-') ? value.substr(1) : value;
    };
    for (CLI::Option* option : command.get_options()) {
        if (option->get_type_name().starts_with("FLOAT")) option->transform(without_sign);
    }
}

}  // namespace earbudget::cli
