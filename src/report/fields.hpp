#pragma once

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <concepts>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <optional>
#include <ranges>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "earbudget/acoustics/units.hpp"
#include "report/json_text.hpp"
#include "report/shape.hpp"

namespace earbudget::report {

// A report in JSON and its schema come from one table a type of result: a row a key, with how its
// value is found and what the schema says of it. What a schema can tell from the type it does:
// levels, times and numbers are numbers, an enumeration has its names, an optional may be null,
// and an Only may be missing.

/// A value whose key is left out where there is none.
template <class V>
struct Only {
    std::optional<V> value = std::nullopt;
};

template <class V>
[[nodiscard]] Only<V> only(const std::optional<V>& value) {
    return {value};
}

/// What `make` gives where it is so.
template <class Make>
[[nodiscard]] auto only_if(bool is_so, const Make& make) {
    using V = std::remove_cvref_t<std::invoke_result_t<const Make&>>;
    return is_so ? Only<V>{make()} : Only<V>{};
}

/// What `make` gives of each part of a list.
template <class Parts, class Make>
[[nodiscard]] auto each_of(const Parts& parts, const Make& make) {
    std::vector<std::remove_cvref_t<std::invoke_result_t<const Make&, decltype(*parts.begin())>>>
        all;
    for (const auto& part : parts)
        all.push_back(std::invoke(make, part));
    return all;
}

/// What `make` gives of a value that may be missing.
template <class V, class Make>
[[nodiscard]] auto if_any(const std::optional<V>& value, const Make& make) {
    using Made = std::remove_cvref_t<std::invoke_result_t<const Make&, const V&>>;
    return value ? std::optional<Made>(std::invoke(make, *value)) : std::nullopt;
}

/// An object whose keys are data.
template <class V>
using Map = std::vector<std::pair<std::string, V>>;

template <class T>
class FieldTable;

/// The table of a type, which each file of a report specialises.
template <class T>
FieldTable<T> describe();

/// The same, made once.
template <class T>
const FieldTable<T>& table_of();

template <class T>
const ObjectShape& object_shape();

/// By which name a shape that several schemas share is known there; empty: it stands where it is
/// used.
template <class T>
inline constexpr std::string_view shared_as = {};

/// How a value of one type is written and what its schema is.
template <class V>
struct InJson {
    static void write(const V& value, const Note& /*note*/, JsonText& to) {
        table_of<V>().write(value, to);
    }
    static Shape shape() { return {.kind = Shape::Kind::Object, .object = object_shape<V>}; }
};

template <>
struct InJson<bool> {
    static void write(bool value, const Note& /*note*/, JsonText& to) { to.boolean(value); }
    static Shape shape() { return {.kind = Shape::Kind::Boolean}; }
};

/// Where nothing but "true" is possible.
template <>
struct InJson<std::true_type> {
    static void write(std::true_type /*value*/, const Note& /*note*/, JsonText& to) {
        to.boolean(true);
    }
    static Shape shape() { return {.kind = Shape::Kind::True}; }
};

template <std::integral V>
struct InJson<V> {
    static void write(V value, const Note& /*note*/, JsonText& to) {
        if constexpr (std::is_unsigned_v<V>) {
            to.natural(value);
        } else {
            to.integer(value);
        }
    }
    static Shape shape() {
        return {.kind = Shape::Kind::Integer, .is_positive = std::is_unsigned_v<V>};
    }
};

/// Rounded where the row says so, without what binary fractions add.
inline double as_noted(double value, const Note& note) {
    if (note.decimals < 0) return value;
    const double factor = std::pow(10.0, note.decimals);
    return std::round(value * factor) / factor;
}

// What a number is in JSON: seconds, hertz, decibels.
inline double figure_of(std::floating_point auto value) { return value; }
template <class Rep, class Period>
double figure_of(std::chrono::duration<Rep, Period> value) {
    return value.count();
}
inline double figure_of(Frequency value) { return value.Hz(); }
template <class L>
requires requires(const L& level) { level.dB(); }
double figure_of(const L& level) { return level.dB(); }

template <class V>
inline constexpr bool is_never_negative = std::same_as<V, Frequency>;
template <class Rep, class Period>
inline constexpr bool is_never_negative<std::chrono::duration<Rep, Period>> = true;

template <class V>
requires requires(const V& value) { figure_of(value); }
struct InJson<V> {
    static void write(const V& value, const Note& note, JsonText& to) {
        to.number(as_noted(figure_of(value), note));
    }
    static Shape shape() {
        return {.kind = Shape::Kind::Number, .is_positive = is_never_negative<V>};
    }
};

template <std::convertible_to<std::string_view> V>
struct InJson<V> {
    static void write(const V& value, const Note& /*note*/, JsonText& to) { to.text(value); }
    static Shape shape() { return {.kind = Shape::Kind::Text}; }
};

/// By its names.
template <class V>
requires std::is_enum_v<V>
struct InJson<V> {
    static void write(V value, const Note& /*note*/, JsonText& to) { to.text(name_of(value)); }
    static Shape shape() {
        return {.kind = Shape::Kind::Text, .names = names_of<V>(), .shared_as = shared_as<V>};
    }
};

template <class V>
struct InJson<std::optional<V>> {
    static void write(const std::optional<V>& value, const Note& note, JsonText& to) {
        value ? InJson<V>::write(*value, note, to) : to.null();
    }
    static Shape shape() { return or_null(InJson<V>::shape()); }
};

template <class V>
struct InJson<Map<V>> {
    static void write(const Map<V>& map, const Note& note, JsonText& to) {
        to.open_object();
        for (const auto& [key, value] : map) {
            to.key(key);
            InJson<V>::write(value, note, to);
        }
        to.close_object();
    }
    static Shape shape() { return {.kind = Shape::Kind::Map, .parts = {InJson<V>::shape()}}; }
};

template <std::ranges::input_range V>
requires(!std::convertible_to<V, std::string_view>) struct InJson<V> {
    using Element = std::remove_cvref_t<std::ranges::range_value_t<V>>;

    static void write(const V& list, const Note& note, JsonText& to) {
        to.open_list();
        for (const auto& element : list)
            InJson<Element>::write(element, note, to);
        to.close_list();
    }
    static Shape shape() {
        return {.kind = Shape::Kind::List, .parts = {InJson<Element>::shape()}};
    }
};

/// Stands for all keys of another table, at this place of the rows.
struct MembersOf {};
inline constexpr MembersOf members_of;

/// A key of an object: where its value comes from and what its schema says of it.
template <class T>
class Field {
  public:
    /// `get` gives the value, as std::invoke calls it: a member or a function of it.
    template <class Get>
    Field(std::string key, Get get, Note note = {}) {
        using V = std::remove_cvref_t<std::invoke_result_t<const Get&, const T&>>;
        add<V>(std::move(key), std::move(get), std::move(note));
    }
    template <class Get>
    Field(std::string key, Get get, std::string_view means, Note note = {})
        : Field(std::move(key), std::move(get), said(means, std::move(note))) {}

    /// Every key of what `get` gives.
    template <class Get>
    Field(MembersOf /*all*/, Get get) {
        using U = std::remove_cvref_t<std::invoke_result_t<const Get&, const T&>>;
        for (const auto& [shape, write] : table_of<U>().rows()) {
            rows_.push_back({shape, [get, write](const T& object, JsonText& to) {
                                 write(std::invoke(get, object), to);
                             }});
        }
    }

    struct Row {
        FieldShape shape;
        std::function<void(const T&, JsonText&)> write;  ///< with its key
    };
    [[nodiscard]] const std::vector<Row>& rows() const { return rows_; }

  private:
    template <class V, class Get>
    void add(std::string key, Get get, Note note) {
        rows_.push_back({{key, InJson<V>::shape(), note, true},
                         [key, get = std::move(get), note](const T& object, JsonText& to) {
                             to.key(key);
                             InJson<V>::write(std::invoke(get, object), note, to);
                         }});
    }
    template <class Optional, class Get>
    requires std::same_as<Optional, Only<typename decltype(Optional::value)::value_type>>
    void add(std::string key, Get get, Note note) {
        using V = typename decltype(Optional::value)::value_type;
        rows_.push_back({{key, InJson<V>::shape(), note, false},
                         [key, get = std::move(get), note](const T& object, JsonText& to) {
                             const Only<V> only = std::invoke(get, object);
                             if (!only.value) return;
                             to.key(key);
                             InJson<V>::write(*only.value, note, to);
                         }});
    }
    static Note said(std::string_view means, Note note) {
        note.means = means;
        return note;
    }

    std::vector<Row> rows_ = {};
};

/// The keys of an object in their order.
template <class T>
class FieldTable {
  public:
    using Rows = std::vector<Field<T>>;

    /// Its schema stands where it is used.
    FieldTable(std::initializer_list<Field<T>> fields) : FieldTable({}, {}, fields) {}

    /// `shared_as` is where its schema stands, as others refer to it: "#/$defs/share".
    FieldTable(std::string_view shared_as, const Rows& fields)
        : FieldTable(shared_as, {}, fields) {}

    FieldTable(std::string_view shared_as, std::string_view means, const Rows& fields)
        : shape_{shared_as, means, {}} {
        for (const Field<T>& field : fields) {
            for (const auto& row : field.rows()) {
                rows_.push_back(row);
                shape_.fields.push_back(row.shape);
            }
        }
    }

    void write(const T& object, JsonText& to) const {
        to.open_object();
        for (const auto& row : rows_)
            row.write(object, to);
        to.close_object();
    }
    [[nodiscard]] const ObjectShape& shape() const { return shape_; }
    [[nodiscard]] const std::vector<typename Field<T>::Row>& rows() const { return rows_; }

  private:
    ObjectShape shape_;
    std::vector<typename Field<T>::Row> rows_ = {};
};

template <class T>
const FieldTable<T>& table_of() {
    static const FieldTable<T> table = describe<T>();
    return table;
}

template <class T>
const ObjectShape& object_shape() {
    return table_of<T>().shape();
}

/// A whole report, with a line break at its end.
template <class T>
[[nodiscard]] std::string json_of(const T& report) {
    JsonText text;
    table_of<T>().write(report, text);
    return text.take();
}

}  // namespace earbudget::report
