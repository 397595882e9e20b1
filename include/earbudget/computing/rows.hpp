#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

namespace earbudget {

/// Whether an enumeration names this value. Compilers write "… Value = room::Enum::Name" for one
/// that it names and "… Value = (room::Enum)7" for one that it does not.
template <auto Value>
[[nodiscard]] consteval bool is_enumerator() {
    constexpr std::string_view before = "Value = ";
    const std::string_view text = __PRETTY_FUNCTION__;
    return text[text.rfind(before) + before.size()] != '(';
}

/// All that is known of an enumeration, one row an enumerator. A row has `key`, the enumerator, and
/// `name`, as files and JSON write it; whatever else is said of an enumerator is a further member,
/// so that parsers, lists of what is accepted, schemas and formulas read one place.
///
/// A table that lacks an enumerator, has one twice or out of order, or gives two the same name does
/// not compile. Enumerators must count up from 0.
template <class Row, std::size_t N>
class Rows {
  public:
    using Key = std::remove_cvref_t<decltype(Row::key)>;

    explicit consteval Rows(const Row (&rows)[N]) : rows_(std::to_array(rows)) {
        static_assert(!is_enumerator<static_cast<Key>(N)>(), "an enumerator has no row");
        for (std::size_t i = 0; i < N; ++i) {
            if (rows_[i].key != static_cast<Key>(i)) throw "a row is missing or out of order";
            if (rows_[i].name.empty()) throw "a row has no name";
            for (std::size_t j = 0; j < i; ++j) {
                if (rows_[j].name == rows_[i].name) throw "two rows have one name";
            }
        }
    }

    [[nodiscard]] constexpr const Row& operator[](Key key) const {
        return rows_[static_cast<std::size_t>(key)];
    }
    [[nodiscard]] constexpr auto begin() const { return rows_.begin(); }
    [[nodiscard]] constexpr auto end() const { return rows_.end(); }
    [[nodiscard]] static constexpr std::size_t size() { return N; }

    /// The row whose name this is; null where none has it.
    [[nodiscard]] constexpr const Row* find(std::string_view name) const {
        for (const Row& row : rows_) {
            if (row.name == name) return &row;
        }
        return nullptr;
    }

    /// The enumerator of a name; none where none has it.
    [[nodiscard]] constexpr std::optional<Key> parse(std::string_view name) const {
        const Row* row = find(name);
        return row == nullptr ? std::nullopt : std::optional(row->key);
    }

    [[nodiscard]] constexpr std::array<Key, N> keys() const {
        std::array<Key, N> keys{};
        for (std::size_t i = 0; i < N; ++i)
            keys[i] = rows_[i].key;
        return keys;
    }

    [[nodiscard]] constexpr std::array<std::string_view, N> names() const {
        std::array<std::string_view, N> names{};
        for (std::size_t i = 0; i < N; ++i)
            names[i] = rows_[i].name;
        return names;
    }

    /// The rows of which something holds, M of them; another number of them does not compile.
    template <std::size_t M, class Predicate>
    [[nodiscard]] consteval std::array<Row, M> where(Predicate holds) const {
        std::array<Row, M> found{};
        std::size_t count = 0;
        for (const Row& row : rows_) {
            if (!holds(row)) continue;
            if (count == M) throw "more rows than said";
            found[count++] = row;
        }
        if (count != M) throw "fewer rows than said";
        return found;
    }

  private:
    std::array<Row, N> rows_;
};

/// A table of rows; their number follows from what stands in the braces.
template <class Row, std::size_t N>
[[nodiscard]] consteval Rows<Row, N> rows_of(const Row (&rows)[N]) {
    return Rows<Row, N>(rows);
}

/// A row of which nothing but the name is known.
template <class Enum>
struct NameRow {
    Enum key;
    std::string_view name;
};

/// Names one after the other: "a, b, c".
template <class Names>
[[nodiscard]] std::string listed(const Names& names, std::string_view between = ", ") {
    std::string text;
    for (const std::string_view name : names) {
        if (!text.empty()) text += between;
        text += name;
    }
    return text;
}

/// The same in quotation marks, as files write them: "\"a\", \"b\", \"c\"".
template <class Names>
[[nodiscard]] std::string quoted_list(const Names& names) {
    return '"' + listed(names, "\", \"") + '"';
}

}  // namespace earbudget
