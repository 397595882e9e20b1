#include "bids/scan_name.hpp"

#include <algorithm>

namespace earbudget::bids {

namespace {

bool is_alphanumeric(std::string_view text) {
    return !text.empty() && std::ranges::all_of(text, [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    });
}

/// Values may hold a plus sign too.
bool is_value(std::string_view text) {
    return !text.empty() && std::ranges::all_of(text, [](char c) {
        return c == '+' || is_alphanumeric(std::string_view(&c, 1));
    });
}

}  // namespace

bool ScanName::has(std::string_view entity) const {
    return std::ranges::any_of(entities, [&](const auto& pair) { return pair.first == entity; });
}

std::string_view ScanName::value_of(std::string_view entity) const {
    for (const auto& [key, value] : entities)
        if (key == entity) return value;
    return {};
}

bool ScanName::applies_to(const ScanName& image) const {
    return is_by_rule() && suffix == image.suffix &&
           std::ranges::all_of(entities, [&](const auto& pair) {
               return std::ranges::find(image.entities, pair) != image.entities.end();
           });
}

std::string ScanName::without(const std::vector<std::string_view>& left_out) const {
    if (!is_by_rule()) return stem;
    std::string text;
    for (const auto& [key, value] : entities)
        if (std::ranges::find(left_out, key) == left_out.end()) text += key + '-' + value + '_';
    return text + suffix;
}

ScanName scan_name_of(std::string_view stem) {
    ScanName name{.stem = std::string(stem), .entities = {}, .suffix = {}};
    std::vector<std::pair<std::string, std::string>> entities;
    std::string_view rest = stem;
    for (std::size_t end = rest.find('_'); end != rest.npos; end = rest.find('_')) {
        const std::string_view part = rest.substr(0, end);
        const std::size_t dash = part.find('-');
        if (dash == part.npos || !is_alphanumeric(part.substr(0, dash)) ||
            !is_value(part.substr(dash + 1)))
            return name;
        entities.emplace_back(part.substr(0, dash), part.substr(dash + 1));
        rest.remove_prefix(end + 1);
    }
    if (!is_alphanumeric(rest)) return name;
    name.entities = std::move(entities);
    name.suffix = rest;
    return name;
}

std::pair<std::string, std::string> stem_and_ending(std::string_view file_name) {
    // A point within a name that no rule gave it, such as a time, is not its ending.
    for (const std::string_view double_ending : {".nii.gz", ".tsv.gz"}) {
        if (file_name.size() > double_ending.size() && file_name.ends_with(double_ending))
            return {std::string(file_name.substr(0, file_name.size() - double_ending.size())),
                    std::string(double_ending)};
    }
    const std::size_t point = file_name.rfind('.');
    if (point == file_name.npos || point == 0) return {std::string(file_name), ""};
    return {std::string(file_name.substr(0, point)), std::string(file_name.substr(point))};
}

bool fits(std::string_view pattern, std::string_view name) {
    std::size_t p = 0, n = 0;
    std::size_t star = pattern.npos, taken = 0;  // the last star, and up to where it stands for
    while (n < name.size()) {
        if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            taken = n;
        } else if (p < pattern.size() && (pattern[p] == '?' || pattern[p] == name[n])) {
            ++p;
            ++n;
        } else if (star != pattern.npos) {
            p = star + 1;
            n = ++taken;
        } else {
            return false;
        }
    }
    return pattern.find_first_not_of('*', p) == pattern.npos;
}

}  // namespace earbudget::bids
