#pragma once

#include <algorithm>
#include <utility>
#include <vector>

namespace earbudget {

/// Adds a value to a list in which each stands once.
template <class Value>
void add_once(Value value, std::vector<Value>& list) {
    if (std::ranges::find(list, value) == list.end()) list.push_back(std::move(value));
}

}  // namespace earbudget
