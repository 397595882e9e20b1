#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "desk/try_form.hpp"
#include "files/toml_tree.hpp"
#include "serving/exchange.hpp"

namespace earbudget::desk::trying {

// What forms of rows have in common.

[[nodiscard]] const files::TomlValue* value_in(const files::TomlTable& table, std::string_view key);
/// A value as somebody would type it; empty for what has several, and for none.
[[nodiscard]] std::string typed(const files::TomlValue* value);
[[nodiscard]] std::string typed(const files::TomlTable& table, std::string_view key);
[[nodiscard]] std::vector<std::string> texts_in(const files::TomlTable& table,
                                                std::string_view key);
/// An array of tables; empty ones for what else is in it.
[[nodiscard]] std::vector<const files::TomlTable*> tables_in(const files::TomlTable& table,
                                                             std::string_view key);

/// None for anything but digits.
[[nodiscard]] std::optional<std::size_t> index_of(const std::string& text);
[[nodiscard]] std::string text_of_index(const std::optional<std::size_t>& index);
[[nodiscard]] std::string without_blanks(const std::string& text);
/// All values of that name. Throws InputError for more than most_sent.
[[nodiscard]] std::vector<std::string> some_sent(const serving::Form& sent, std::string_view name);
/// From where on; how many, the file tells.
[[nodiscard]] Shown shown_in(const serving::Form& sent, std::string_view name);

template <class All>
auto with_key(All& all, const std::string& key) {
    return std::ranges::find_if(all, [&](const auto& one) { return one.key == key; });
}

/// A key that none of them has: buttons and labels go by it.
template <class All>
std::string new_key(const All& all, std::string_view begin) {
    for (std::size_t n = 0;; ++n) {
        std::string key = fmt::format("{}n{}", begin, n);
        if (with_key(all, key) == all.end()) return key;
    }
}

template <class All>
bool press_on(std::string_view what, const std::string& key, All& all) {
    const auto one = with_key(all, key);
    if (one == all.end()) return false;
    if (what == "up" && one != all.begin()) std::iter_swap(one, one - 1);
    if (what == "down" && one + 1 != all.end()) std::iter_swap(one, one + 1);
    if (what == "remove" && all.size() > 1) all.erase(one);
    return true;
}

}  // namespace earbudget::desk::trying
