#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

#include "earbudget/acoustics/level.hpp"
#include "earbudget/computing/rows.hpp"

namespace earbudget::sessions {

using Json = nlohmann::ordered_json;

/// Thrown where a stored text is not what was stored.
struct Damaged {};

/// Numbers between which anything of a kind lies, far beyond what happens.
struct Range {
    double low, high;
};
inline constexpr Range any_level{-400.0, 400.0};
inline constexpr Range any_difference{-400.0, 400.0};
inline constexpr Range any_size{0.0, 200.0};
inline constexpr Range any_part{0.0, 1.0};

/// One object of a stored text; each member is taken as what it must be, else Damaged is thrown.
class ObjectIn {
  public:
    explicit ObjectIn(const Json& json) : json_(json) {
        if (!json.is_object()) throw Damaged();
    }

    [[nodiscard]] const Json* find(const char* key) const {
        const auto found = json_.find(key);
        return found == json_.end() || found->is_null() ? nullptr : &*found;
    }
    [[nodiscard]] const Json& at(const char* key) const {
        const Json* const found = find(key);
        if (!found) throw Damaged();
        return *found;
    }
    [[nodiscard]] double number(const char* key, Range range) const {
        return number(at(key), range);
    }
    [[nodiscard]] std::optional<double> maybe(const char* key, Range range) const {
        const Json* const found = find(key);
        return found ? std::optional(number(*found, range)) : std::nullopt;
    }
    template <class Decibels>
    [[nodiscard]] Decibels dB(const char* key, Range range) const {
        return Decibels(number(key, range));
    }
    template <class Decibels>
    [[nodiscard]] std::optional<Decibels> maybe_dB(const char* key, Range range) const {
        const auto found = maybe(key, range);
        return found ? std::optional(Decibels(*found)) : std::nullopt;
    }
    [[nodiscard]] std::int64_t integer(const char* key, std::int64_t low, std::int64_t high) const {
        return integer(at(key), low, high);
    }
    /// False where it is left out.
    [[nodiscard]] bool flag(const char* key) const {
        const Json* const found = find(key);
        if (found && !found->is_boolean()) throw Damaged();
        return found && found->get<bool>();
    }
    [[nodiscard]] std::string text(const char* key) const { return text(at(key)); }
    [[nodiscard]] std::string maybe_text(const char* key) const {
        const Json* const found = find(key);
        return found ? text(*found) : std::string();
    }
    template <class Table>
    [[nodiscard]] auto choice(const char* key, const Table& rows) const {
        const auto value = rows.parse(text(key));
        if (!value) throw Damaged();
        return *value;
    }
    /// Empty where it is left out; `read` makes a value of each.
    template <class Read>
    [[nodiscard]] auto list(const char* key, std::size_t most, const Read& read) const {
        std::vector<decltype(read(json_))> all;
        const Json* const found = find(key);
        if (!found) return all;
        if (!found->is_array() || found->size() > most) throw Damaged();
        for (const Json& one : *found)
            all.push_back(read(one));
        return all;
    }
    [[nodiscard]] std::vector<std::string> texts(const char* key) const {
        return list(key, most_texts, [](const Json& one) { return text(one); });
    }

    [[nodiscard]] static double number(const Json& json, Range range) {
        if (!json.is_number()) throw Damaged();
        const auto value = json.get<double>();
        if (!(value >= range.low && value <= range.high)) throw Damaged();
        return value;
    }
    [[nodiscard]] static std::int64_t integer(const Json& json, std::int64_t low,
                                              std::int64_t high) {
        if (!json.is_number_integer()) throw Damaged();
        if (json.is_number_unsigned() &&
            json.get<std::uint64_t>() > static_cast<std::uint64_t>(INT64_MAX))
            throw Damaged();
        const auto value = json.get<std::int64_t>();
        if (value < low || value > high) throw Damaged();
        return value;
    }
    [[nodiscard]] static std::string text(const Json& json) {
        if (!json.is_string()) throw Damaged();
        return json.get<std::string>();
    }

  private:
    static constexpr std::size_t most_texts = 1000;
    const Json& json_;
};

/// Sets a member where there is something to say.
template <class Decibels>
void put_dB(Json& json, const char* key, const std::optional<Decibels>& level) {
    if (level) json[key] = level->dB();
}
inline void put_flag(Json& json, const char* key, bool value) {
    if (value) json[key] = true;
}

}  // namespace earbudget::sessions
