#pragma once

#include <array>
#include <chrono>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <new>
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
    using Value = V;
    std::optional<V> value = std::nullopt;
};
template <class V>
inline constexpr bool is_only = false;
template <class V>
inline constexpr bool is_only<Only<V>> = true;

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

class AnyTable;

/// The same, made once.
template <class T>
const AnyTable& table_of();

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
        table_of<V>().write(&value, to);
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
[[nodiscard]] double as_noted(double value, const Note& note);

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

template <class T, class Get>
[[nodiscard]] decltype(auto) given(const Get& get, const T& object, const Outer& outer) {
    if constexpr (std::is_member_object_pointer_v<Get>) {
        return (object.*get);
    } else if constexpr (std::is_member_function_pointer_v<Get>) {
        return (object.*get)();
    } else if constexpr (requires { get(object, outer); }) {
        return get(object, outer);
    } else {
        return get(object);
    }
}
template <class T, class Get>
using Given = std::remove_cvref_t<decltype(given(std::declval<const Get&>(),
                                                 std::declval<const T&>(), Outer()))>;

/// A key of an object, whatever its type: where its value comes from and what its schema says of
/// it. The getter, a pointer to a member or a function with little captured, lies in the row
/// itself, and one function a type of value writes it: rows cost little to compile.
struct AnyField {
    using Write = void (*)(const AnyField&, const void* object, JsonText&);

    std::string_view key = {};
    Note note = {};
    Write write = nullptr;                   ///< the key with its value
    Shape (*shape)() = nullptr;              ///< of its value
    bool always = true;                      ///< there in every object
    const AnyTable& (*members)() = nullptr;  ///< instead of a key of its own
    alignas(void*) std::array<std::byte, 16> get = {};

    /// What the row's getter gives of an object, and of those around it where it takes them.
    template <class T, class Get>
    [[nodiscard]] decltype(auto) value_of(const void* object, const Outer& outer) const {
        const void* const bytes = get.data();
        return given(*std::launder(static_cast<const Get*>(bytes)), *static_cast<const T*>(object),
                     outer);
    }
};

/// The keys of an object in their order, whatever its type.
class AnyTable {
  public:
    /// `type` is the tag of its objects' type.
    AnyTable(const void* type, std::string_view shared_as, std::string_view means)
        : type_(type), shared_as_(shared_as), means_(means) {}

    void write(const void* object, JsonText& to) const;
    /// Without the brackets of the object.
    void write_rows(const void* object, JsonText& to) const;
    [[nodiscard]] ObjectShape shape() const;

  protected:
    std::vector<AnyField> rows_ = {};

  private:
    void add_to(ObjectShape& shape) const;

    const void* type_;
    std::string_view shared_as_, means_;
};

template <class T, class Get>
void write_value(const AnyField& field, const void* object, JsonText& to) {
    const auto& value = field.value_of<T, Get>(object, to.outer);
    using V = std::remove_cvref_t<decltype(value)>;
    if constexpr (is_only<V>) {
        if (!value.value) return;
        to.key(field.key);
        InJson<typename V::Value>::write(*value.value, field.note, to);
    } else {
        to.key(field.key);
        InJson<V>::write(value, field.note, to);
    }
}

template <class T, class Get>
void write_members(const AnyField& field, const void* object, JsonText& to) {
    const auto& members = field.value_of<T, Get>(object, to.outer);
    field.members().write_rows(&members, to);
}

/// A key of an object of type T.
template <class T>
struct Field : AnyField {
    /// `get` gives the value: a member, or a function of the object, and of the Outer where what
    /// it stands in is needed.
    template <class Get>
    Field(std::string_view its_key, Get its_get, const Note& its_note = {}) {
        using V = Given<T, Get>;
        keep(its_get);
        key = its_key;
        note = its_note;
        write = write_value<T, Get>;
        always = !is_only<V>;
        if constexpr (is_only<V>) {
            shape = InJson<typename V::Value>::shape;
        } else {
            shape = InJson<V>::shape;
        }
    }
    template <class Get>
    Field(std::string_view its_key, Get its_get, std::string_view means, const Note& its_note = {})
        : Field(its_key, its_get, its_note) {
        note.means = means;
    }

    /// Every key of what `get` gives.
    template <class Get>
    Field(MembersOf /*all*/, Get its_get) {
        keep(its_get);
        write = write_members<T, Get>;
        members = table_of<Given<T, Get>>;
    }

  private:
    template <class Get>
    void keep(const Get& its_get) {
        static_assert(std::is_trivially_copyable_v<Get> && sizeof(Get) <= sizeof(get));
        ::new (static_cast<void*>(get.data())) Get(its_get);
    }
};

/// The keys of an object of type T.
template <class T>
class FieldTable : public AnyTable {
  public:
    /// Its schema stands where it is used.
    FieldTable(std::initializer_list<Field<T>> fields) : FieldTable({}, {}, fields) {}

    /// `shared_as` is where its schema stands, as others refer to it: "#/$defs/share".
    FieldTable(std::string_view shared_as, std::initializer_list<Field<T>> fields)
        : FieldTable(shared_as, {}, fields) {}

    FieldTable(std::string_view shared_as, std::string_view means,
               std::initializer_list<Field<T>> fields)
        : AnyTable(&Outer::tag_of<T>, shared_as, means) {
        add(fields);
    }

    void add(std::initializer_list<Field<T>> fields) {
        for (const AnyField& field : fields)
            rows_.push_back(field);
    }
};

template <class T>
const AnyTable& table_of() {
    static const FieldTable<T> table = describe<T>();
    return table;
}

template <class T>
const ObjectShape& object_shape() {
    static const ObjectShape shape = table_of<T>().shape();
    return shape;
}

/// A whole report, with a line break at its end.
template <class T>
[[nodiscard]] std::string json_of(const T& report) {
    JsonText text;
    table_of<T>().write(&report, text);
    return text.take();
}

}  // namespace earbudget::report
