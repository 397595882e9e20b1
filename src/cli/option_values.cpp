#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "cli/messages.hpp"
#include "cli/parse_command_line.hpp"
#include "files/written_values.hpp"

namespace earbudget::cli {

namespace {

template <class Number>
std::errc parse(std::string_view text) {
    Number number{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (end != text.data() + text.size()) return std::errc::invalid_argument;
    if (error == std::errc() && !std::isfinite(static_cast<double>(number)))
        return std::errc::invalid_argument;
    return error;
}

bool are_digits(std::string_view text) {
    return !text.empty() && text.find_first_not_of("0123456789") == text.npos;
}

/// A word on what is no number that fits, for those that others write so; none where it fits.
std::optional<std::string> why_no_decimal(const std::string& value) {
    std::string_view text = value;
    if (text.starts_with('+')) text.remove_prefix(1);
    const bool has_two_signs = text.size() < value.size() && text.starts_with('-');
    const std::errc error = has_two_signs ? std::errc::invalid_argument : parse<double>(text);
    if (error == std::errc()) return std::nullopt;
    if (error == std::errc::result_out_of_range)
        return ", beyond the numbers that are computed with";
    if (const auto right = files::with_decimal_point(value))
        return fmt::format(", with a decimal comma (with a decimal point: {})", *right);
    const std::size_t end = value.find_first_not_of("+-.0123456789");
    const bool has_unit =
        end != 0 && end != std::string::npos && value.find_first_of("0123456789") < end;
    return has_unit ? ", with more than a number" : ", which is no number";
}

/// Digits alone. The parser of the command line takes a zero before them for octal.
template <class Number>
std::optional<std::string> why_no_whole_number(std::string_view value) {
    if (!are_digits(value)) {
        const bool is_negative = value.starts_with('-') && are_digits(value.substr(1));
        return is_negative ? ", a number below 0" : ", which is not a whole number, digits alone";
    }
    if (value.size() > 1 && value.starts_with('0')) return ", a whole number with a zero before it";
    if (parse<Number>(value) != std::errc()) return ", a whole number that is too large";
    return std::nullopt;
}

template <class T>
std::span<T> values_in(T& one) {
    return {&one, 1};
}
template <class T>
std::span<T> values_in(std::optional<T>& one) {
    return one ? std::span<T>(&*one, 1) : std::span<T>();
}
template <class T>
std::span<T> values_in(std::vector<T>& all) {
    return all;
}

/// By the type of what the option is put into.
std::optional<std::string> why_no_number(const OptionDescription& option,
                                         const std::string& value) {
    const auto by_type = [&](auto* target) -> std::optional<std::string> {
        using Value = typename decltype(values_in(*target))::value_type;
        if constexpr (std::is_same_v<Value, double>)
            return why_no_decimal(value);
        else if constexpr (std::is_integral_v<Value> && !std::is_same_v<Value, bool>)
            return why_no_whole_number<Value>(value);
        else
            return std::nullopt;
    };
    return std::visit(by_type, option.target);
}

/// What is wrong with a value; none where it is accepted.
std::optional<std::string> problem_of(const OptionDescription& option, const std::string& value) {
    if (value.empty()) return "is empty";
    if (const auto why = why_no_number(option, value))
        return fmt::format("is \"{}\"{}", value, *why);
    if (option.fits && !option.fits(value)) return fmt::format("is \"{}\"", value);
    return std::nullopt;
}

/// "is 300; accepted: -20 to 250 dB" of a number outside its range; none of any other value.
std::optional<std::string> why_outside(const OptionDescription& option, std::string_view value) {
    if (!option.range) return std::nullopt;
    if (value.starts_with('+')) value.remove_prefix(1);
    double number = 0.0;
    std::from_chars(value.data(), value.data() + value.size(), number);
    const files::NumberRange& range = *option.range;
    if (number >= range.lowest && number <= range.highest) return std::nullopt;
    return fmt::format("is {}; accepted: {:g} to {:g}{}{}", value, range.lowest, range.highest,
                       range.unit.empty() ? "" : " ", range.unit);
}

/// The words behind a command, one after another, and what is wrong with each.
class Words {
  public:
    Words(const CommandDescription& command, std::span<const char* const> words)
        : command_(command), words_(words.begin(), words.end()) {}

    std::vector<std::string> problems() {
        while (at_ < words_.size())
            look_at(words_[at_++]);
        return std::move(problems_);
    }

  private:
    void look_at(const std::string& word) {
        is_behind_dashes_ = is_behind_dashes_ || word == "--";
        if (word.empty()) refuse_empty_operand();
        if (is_behind_dashes_ || !word.starts_with("--")) return;
        const std::size_t equals = word.find('=');
        const OptionDescription* option = command_.find(word.substr(0, equals));
        if (option == nullptr) return;  // the parser says so
        if (equals != std::string::npos) {
            look_at_value(*option, word.substr(equals + 1));
        } else if (option->takes_a_value() && at_ < words_.size()) {
            look_at_next_word(*option);
        }
    }

    void look_at_value(const OptionDescription& option, const std::string& value) {
        if (!option.takes_a_value()) {
            refuse(option, fmt::format("is given the value \"{}\"", value));
        } else if (const auto problem = problem_of(option, value)) {
            refuse(option, *problem);
        } else if (const auto outside = why_outside(option, value)) {
            problems_.push_back(
                fmt::format("earbudget {}: {} {}", command_.name, option.name(), *outside));
        }
    }

    /// Another option would be taken for the value: --output --force would write a file of that
    /// name.
    void look_at_next_word(const OptionDescription& option) {
        const std::string& value = words_[at_];
        if (value.starts_with('-') && command_.find(value.substr(0, value.find('=')))) {
            refuse(option, "has no value");
            return;
        }
        ++at_;
        look_at_value(option, value);
    }

    void refuse(const OptionDescription& option, const std::string& problem) {
        problems_.push_back(fmt::format("earbudget {}: {} {}; accepted: {}", command_.name,
                                        option.name(), problem, option.accepted()));
    }

    void refuse_empty_operand() {
        std::string name = command_.operand();
        name.resize(name.find_last_not_of('.') + 1);
        problems_.push_back(fmt::format("earbudget {0}: {1} is empty; accepted: earbudget {0} {2}",
                                        command_.name, name, command_.operand()));
    }

    const CommandDescription& command_;
    std::vector<std::string> words_;
    std::size_t at_ = 0;
    bool is_behind_dashes_ = false;
    std::vector<std::string> problems_ = {};
};

}  // namespace

void check_option_values(const CommandDescription& command, std::span<const char* const> words) {
    UsageProblem::throw_if_any(Words(command, words).problems());
}

void settle_numbers(const CommandDescription& command) {
    for (const OptionDescription& option : command.options) {
        const auto settle = [&](auto& number) {
            if constexpr (std::is_arithmetic_v<std::remove_reference_t<decltype(number)>>) {
                if (number == 0) number = {};  // not -0
            }
        };
        std::visit(
            [&](auto* target) {
                if (target) std::ranges::for_each(values_in(*target), settle);  // --help has none
            },
            option.target);
    }
}

}  // namespace earbudget::cli
