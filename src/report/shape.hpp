#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"

namespace earbudget::report {

/// What a row says of its value besides what the type tells.
struct Note {
    std::string_view means = {};  ///< for people
    std::optional<double> min = std::nullopt, above = std::nullopt, max = std::nullopt;
    std::string_view pattern = {};             ///< a regular expression that a text fits
    std::vector<std::string> (*names)() = {};  ///< what a text may be, besides `one_of`
    std::string_view one_of = {};              ///< words that a text may be, between blanks
    std::string_view none_of = {};             ///< a name of an enumeration that does not occur
    bool filled = false;                       ///< a list or a text is never empty
    int decimals = -1;                         ///< to which numbers are rounded; -1: not at all

    /// All that a text may be: `names`, then `one_of`; empty where the row says nothing of it.
    [[nodiscard]] std::vector<std::string> texts() const;
};

struct ObjectShape;

/// What kind of JSON a value is, as a schema says it.
struct Shape {
    enum class Kind { True, Boolean, Integer, Number, Text, List, Map, Object, AnyOf };

    Kind kind;
    bool is_positive = false;  ///< a number of at least 0
    std::vector<std::string> names =
        {};                         ///< all that a text may be, or all keys of a map; empty: any
    std::vector<Shape> parts = {};  ///< of a list or a map the values', of AnyOf each
    /// Of an Object, and of a Map the keys that are known of it; a function, since objects may hold
    /// one another.
    const ObjectShape& (*object)() = nullptr;
    std::string_view shared_as = {};  ///< where it stands; empty: where it is used
    bool or_null = false;
};

[[nodiscard]] inline Shape or_null(Shape shape) {
    shape.or_null = true;
    return shape;
}

/// One key of an object.
struct FieldShape {
    std::string key;
    Shape shape;
    Note note;
    bool always;  ///< there in every object
};

struct ObjectShape {
    std::string_view shared_as;  ///< "#/$defs/share", "common.schema.json#/$defs/file", a whole
                                 ///< "compare.schema.json"; empty: where it is used
    std::string_view means;
    std::vector<FieldShape> fields;
};

/// The names of an enumeration that counts up from 0, each once.
template <class E, std::size_t First = 0>
void add_names(std::vector<std::string>& names) {
    constexpr auto value = static_cast<E>(First);
    if constexpr (is_enumerator<value>()) {
        const std::string name(name_of(value));
        if (std::ranges::find(names, name) == names.end()) names.push_back(name);
        add_names<E, First + 1>(names);
    }
}

template <class E>
[[nodiscard]] std::vector<std::string> names_of() {
    std::vector<std::string> names;
    add_names<E>(names);
    return names;
}

// What the JSON of each command is, from the tables by which it is written.

[[nodiscard]] const ObjectShape& assess_shape();
[[nodiscard]] const ObjectShape& choose_shape();
[[nodiscard]] const ObjectShape& measure_shape();
[[nodiscard]] const ObjectShape& ratings_shape();
[[nodiscard]] const ObjectShape& review_shape();

}  // namespace earbudget::report
