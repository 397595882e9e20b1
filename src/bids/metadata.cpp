#include "bids/metadata.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace earbudget::bids {

namespace {

using nlohmann::json;

/// The line and column, from 1, of a byte of a text.
SourcePosition position_in(const std::string& text, std::size_t byte, const std::string& path) {
    const std::string_view before = std::string_view(text).substr(0, byte);
    const std::size_t line_begin = before.rfind('\n');
    const auto line = 1 + std::ranges::count(before, '\n');
    const std::size_t column = before.size() - (line_begin == before.npos ? 0 : line_begin + 1) + 1;
    return {path, static_cast<unsigned>(line), static_cast<unsigned>(column)};
}

/// None for values of other kinds, which nobody asks for.
std::optional<MetadataValue> value_of(const json& value, const std::string& path) {
    MetadataValue result{.is_array = value.is_array(), .file = path};
    const auto add = [&](const json& one) {
        if (one.is_number()) {
            result.numbers.push_back(one.get<double>());
        } else if (one.is_string()) {
            result.texts.push_back(one.get<std::string>());
        } else {
            return false;
        }
        return true;
    };
    if (!value.is_array()) {
        // What else it may be is wrong where a number is asked for.
        static_cast<void>(add(value));
        return result;
    }
    for (const json& one : value)
        if (!add(one)) return MetadataValue{.is_array = true, .file = path};
    return result;
}

}  // namespace

const MetadataValue* Metadata::find(std::string_view key) const {
    const auto found = values_.find(key);
    return found == values_.end() ? nullptr : &found->second;
}

std::string Metadata::text(std::string_view key) const {
    const MetadataValue* value = find(key);
    return value && !value->texts.empty() ? value->texts.front() : std::string();
}

bool Metadata::has_text(std::string_view key, std::string_view text) const {
    const MetadataValue* value = find(key);
    return value && std::ranges::any_of(value->texts, [&](const std::string& each) {
               return each.find(text) != each.npos;
           });
}

void Metadata::override_with(const Sidecars::Values& sidecar) {
    for (const auto& [key, value] : sidecar)
        values_.insert_or_assign(key, value);
}

Sidecars::Values Sidecars::read(const std::string& path) {
    Values values;
    const std::string& text = inputs_->text(path, {path});
    try {
        const json document = json::parse(text);
        if (!document.is_object())
            throw InputError({path}, "this is no JSON object; accepted: a sidecar, { … }");
        for (const auto& [key, value] : document.items())
            if (auto known = value_of(value, path)) values.emplace(key, *std::move(known));
    } catch (const json::parse_error& failure) {
        const std::size_t byte = std::min(text.size(), failure.byte > 0 ? failure.byte - 1 : 0);
        throw InputError(position_in(text, byte, path),
                         "this is not JSON from here on; accepted: a sidecar as JSON, { … }");
    } catch (const json::exception&) {
        throw InputError({path},
                         "a number in it is too large; accepted: a sidecar as JSON with numbers up "
                         "to 1e308");
    }
    return values;
}

const Sidecars::Values& Sidecars::values_of(const std::string& path) {
    const auto known = read_.find(path);
    if (known != read_.end()) return known->second;
    Values values;
    errors_->attempt([&] { values = read(path); });
    return read_.emplace(path, std::move(values)).first->second;
}

SourcePosition Sidecars::position_of(const MetadataValue& value, std::string_view key) {
    const std::string& text = inputs_->text(value.file, {value.file});
    const std::size_t at = text.find(fmt::format("\"{}\"", key));
    return at == text.npos ? SourcePosition{value.file} : position_in(text, at, value.file);
}

std::optional<std::vector<double>> Sidecars::numbers(const Metadata& metadata, std::string_view key,
                                                     double lowest, double highest,
                                                     std::string_view unit) {
    const MetadataValue* value = metadata.find(key);
    if (!value) return std::nullopt;
    const std::string accepted = fmt::format("accepted: from {:g} to {:g}{}{}", lowest, highest,
                                             unit.empty() ? "" : " ", unit);
    if (value->numbers.empty()) {
        errors_->add(
            {position_of(*value, key), fmt::format("\"{}\" holds no number; {}", key, accepted)});
        return std::nullopt;
    }
    for (const double number : value->numbers) {
        if (std::isfinite(number) && number >= lowest && number <= highest) continue;
        errors_->add(
            {position_of(*value, key), fmt::format("\"{}\" is {:g}; {}", key, number, accepted)});
        return std::nullopt;
    }
    return value->numbers;
}

std::optional<double> Sidecars::number(const Metadata& metadata, std::string_view key,
                                       double lowest, double highest, std::string_view unit) {
    const auto all = numbers(metadata, key, lowest, highest, unit);
    return all ? std::optional(all->front()) : std::nullopt;
}

}  // namespace earbudget::bids
