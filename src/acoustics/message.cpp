#include "earbudget/acoustics/message.hpp"

#include <algorithm>

namespace earbudget {

namespace {

bool is_before(const SourcePosition& one, const SourcePosition& other) {
    return one.text() < other.text();
}

template <class Value>
bool is_before(const Value& one, const Value& other) {
    return one < other;
}

bool says_the_same(const Argument& one, const Argument& other) {
    if (one.value.index() != other.value.index()) return false;
    return std::visit(
        [&other](const auto& value) {
            return value == std::get<std::decay_t<decltype(value)>>(other.value);
        },
        one.value);
}

bool is_less(const Argument& one, const Argument& other) {
    if (one.value.index() != other.value.index()) return one.value.index() < other.value.index();
    return std::visit(
        [&other](const auto& value) {
            return is_before(value, std::get<std::decay_t<decltype(value)>>(other.value));
        },
        one.value);
}

}  // namespace

bool operator<(const Message& one, const Message& other) {
    if (one.phrase != other.phrase) return one.phrase < other.phrase;
    return std::ranges::lexicographical_compare(one.arguments, other.arguments, is_less);
}

bool operator==(const Message& one, const Message& other) {
    return one.phrase == other.phrase &&
           std::ranges::equal(one.arguments, other.arguments, says_the_same);
}

}  // namespace earbudget
