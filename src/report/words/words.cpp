#include "report/words/words.hpp"

#include <algorithm>
#include <type_traits>
#include <variant>

#include <fmt/args.h>
#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"

namespace earbudget::report {

namespace {

/// A number in a format, or a wording that hangs on it.
struct NumberArgument {
    double value;
};

/// Names or texts; what stands between them is in the pattern.
struct ListArgument {
    std::vector<std::string> texts;
};

}  // namespace

}  // namespace earbudget::report

template <>
struct fmt::formatter<earbudget::report::NumberArgument> : fmt::formatter<double> {
    constexpr auto parse(fmt::format_parse_context& context) {
        if (context.begin() == context.end() || *context.begin() != '?')
            return fmt::formatter<double>::parse(context);
        const auto end = std::find(context.begin(), context.end(), '}');
        wordings_ = {context.begin() + 1, static_cast<std::size_t>(end - context.begin() - 1)};
        has_wordings_ = true;
        return end;
    }

    auto format(const earbudget::report::NumberArgument& number,
                fmt::format_context& context) const {
        if (!has_wordings_) return fmt::formatter<double>::format(number.value, context);
        std::string_view left = wordings_;
        for (double n = 1.0; n != number.value && left.find('|') != std::string_view::npos; ++n)
            left.remove_prefix(left.find('|') + 1);
        return fmt::format_to(context.out(), "{}", left.substr(0, left.find('|')));
    }

  private:
    std::string_view wordings_ = {};
    bool has_wordings_ = false;
};

template <>
struct fmt::formatter<earbudget::report::ListArgument> {
    constexpr auto parse(fmt::format_parse_context& context) {
        const auto end = std::find(context.begin(), context.end(), '}');
        between_ = {context.begin(), static_cast<std::size_t>(end - context.begin())};
        return end;
    }

    auto format(const earbudget::report::ListArgument& list, fmt::format_context& context) const {
        return fmt::format_to(context.out(), "{}", fmt::join(list.texts, between_));
    }

  private:
    std::string_view between_ = {};
};

namespace earbudget {

namespace {

/// What the pattern gets of an argument.
template <class Value>
auto formatted(const Value& value) {
    using namespace report;
    if constexpr (std::is_same_v<Value, double>) {
        return NumberArgument{value};
    } else if constexpr (std::is_same_v<Value, std::vector<std::string>>) {
        return ListArgument{value};
    } else if constexpr (std::is_same_v<Value, std::vector<Message>>) {
        return ListArgument{texts_of(value)};
    } else if constexpr (std::is_same_v<Value, SourcePosition>) {
        return value.text();
    } else if constexpr (std::is_same_v<Value, std::string>) {
        return value;
    } else {
        return text_of(value);
    }
}

std::string_view pattern_of_phrase(const Message& message) {
    return std::visit(
        [](const auto& phrase) -> std::string_view {
            if constexpr (std::is_same_v<decltype(phrase), const std::monostate&>) {
                return "{}";
            } else {
                return report::pattern_of(phrase);
            }
        },
        message.phrase);
}

}  // namespace

std::string text_of(const Message& message) {
    if (message.empty()) return "";
    fmt::dynamic_format_arg_store<fmt::format_context> store;
    for (const Argument& argument : message.arguments)
        std::visit([&store](const auto& value) { store.push_back(formatted(value)); },
                   argument.value);
    return fmt::vformat(pattern_of_phrase(message), store);
}

std::vector<std::string> texts_of(const std::vector<Message>& messages) {
    std::vector<std::string> texts;
    for (const Message& message : messages)
        texts.push_back(text_of(message));
    return texts;
}

std::string text_of(const std::vector<Message>& messages, std::string_view between) {
    return fmt::format("{}", fmt::join(texts_of(messages), between));
}

std::string text_of(const Obstacle& obstacle) {
    return fmt::format("{}: {}", obstacle.position().text(), text_of(obstacle.says()));
}

}  // namespace earbudget
