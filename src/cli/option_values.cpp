#include "cli/option_values.hpp"

#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "cli/messages.hpp"
#include "files/written_values.hpp"

namespace earbudget::cli {

namespace {

/// "earbudget assess: --format is empty; accepted: …".
std::string refusal(const CLI::App& command, const CLI::Option& option,
                    const std::string& problem) {
    return fmt::format("earbudget {}: {} {}; accepted: {}", command.get_name(), name_of(option),
                       problem, accepted_of(option));
}

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

/// By the type that the option was declared with: "FLOAT", "UINT" or "INT".
std::optional<std::string> why_no_number(const CLI::Option& option, const std::string& value) {
    const std::string type = option.get_type_name();
    if (type.starts_with("FLOAT")) return why_no_decimal(value);
    if (type.starts_with("UINT")) return why_no_whole_number<std::uint32_t>(value);
    return type.starts_with("INT") ? why_no_whole_number<std::int64_t>(value) : std::nullopt;
}

/// By the checks that the option was declared with.
bool passes_checks(CLI::Option& option, std::string value) {
    try {
        for (int n = 0;; ++n)
            if (!(*option.get_validator(n))(value).empty()) return false;
    } catch (const CLI::OptionNotFound&) {
        return true;  // that was the last
    }
}

/// What is wrong with a value; none where it is accepted.
std::optional<std::string> problem_of(CLI::Option& option, const std::string& value) {
    if (value.empty()) return "is empty";
    if (const auto why = why_no_number(option, value))
        return fmt::format("is \"{}\"{}", value, *why);
    if (!passes_checks(option, value)) return fmt::format("is \"{}\"", value);
    return std::nullopt;
}

/// The words behind a command, one after another, and what is wrong with each.
class Words {
  public:
    Words(CLI::App& command, std::span<const char* const> words)
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
        CLI::Option* option = command_.get_option_no_throw(word.substr(0, equals));
        if (option == nullptr) return;  // the parser says so
        if (equals != std::string::npos) {
            look_at_value(*option, word.substr(equals + 1));
        } else if (takes_a_value(*option) && at_ < words_.size()) {
            look_at_next_word(*option);
        }
    }

    void look_at_value(CLI::Option& option, const std::string& value) {
        if (!takes_a_value(option)) {
            refuse(option, fmt::format("is given the value \"{}\"", value));
        } else if (const auto problem = problem_of(option, value)) {
            refuse(option, *problem);
        }
    }

    /// Another option would be taken for the value: --output --force would write a file of that
    /// name.
    void look_at_next_word(CLI::Option& option) {
        const std::string& value = words_[at_];
        if (value.starts_with('-') &&
            command_.get_option_no_throw(value.substr(0, value.find('='))) != nullptr) {
            refuse(option, "has no value");
            return;
        }
        ++at_;
        look_at_value(option, value);
    }

    void refuse(const CLI::Option& option, const std::string& problem) {
        problems_.push_back(refusal(command_, option, problem));
    }

    void refuse_empty_operand() {
        std::string name = operand_of(command_);
        name.resize(name.find_last_not_of('.') + 1);
        problems_.push_back(fmt::format("earbudget {0}: {1} is empty; accepted: earbudget {0} {2}",
                                        command_.get_name(), name, operand_of(command_)));
    }

    CLI::App& command_;
    std::vector<std::string> words_;
    std::size_t at_ = 0;
    bool is_behind_dashes_ = false;
    std::vector<std::string> problems_ = {};
};

}  // namespace

std::string name_of(const CLI::Option& option) { return "--" + option.get_lnames().front(); }

bool takes_a_value(const CLI::Option& option) { return option.get_items_expected_min() > 0; }

std::string accepted_of(const CLI::Option& option) {
    return fmt::format("{} {}: {}", name_of(option),
                       takes_a_value(option) ? option.get_option_text() : "without a value",
                       option.get_description());
}

std::string operand_of(const CLI::App& command) {
    std::string operands;
    for (const CLI::Option* option : command.get_options()) {
        if (!option->get_positional()) continue;
        operands += (operands.empty() ? "" : " ") + option->get_option_text();
    }
    return operands;
}

void check_option_values(CLI::App& command, std::span<const char* const> words) {
    auto problems = Words(command, words).problems();
    if (problems.empty()) return;
    const std::string first = problems.front();
    problems.erase(problems.begin());
    throw UsageProblem(first, std::move(problems));
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
