#include <algorithm>
#include <array>
#include <numbers>
#include <vector>

#include "files/written_values.hpp"
#include "waveforms/open_waveform.hpp"
#include "waveforms/text_lines.hpp"

namespace earbudget::waveforms {

namespace {

std::vector<std::string_view> parts_of(std::string_view text, std::string_view between) {
    std::vector<std::string_view> parts;
    while (true) {
        const std::size_t begin = text.find_first_not_of(between);
        if (begin == text.npos) return parts;
        text.remove_prefix(begin);
        parts.push_back(text.substr(0, text.find_first_of(between)));
        text.remove_prefix(parts.back().size());
    }
}

std::optional<Rotation> about_an_axis(std::string_view text) {
    constexpr double most_degrees = 360.0;
    constexpr std::string_view axes = "xyz";
    if (text.size() < 3 || text[1] != ':') return std::nullopt;
    const std::size_t axis = axes.find(text[0]);
    const auto degrees = finite_number(text.substr(2));
    if (axis == axes.npos || !degrees || std::abs(*degrees) > most_degrees) return std::nullopt;
    AxisVector direction{};
    direction[axis] = 1.0;
    return Rotation::about(direction, *degrees * std::numbers::pi / 180.0);
}

std::optional<Rotation> of_matrix(const std::vector<std::string_view>& numbers) {
    std::array<double, 9> rows{};
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto value = finite_number(numbers[i]);
        if (!value) return std::nullopt;
        rows[i] = *value;
    }
    return Rotation::by_matrix(rows);
}

}  // namespace

std::optional<Rotation> parse_rotation(std::string_view text) {
    const auto parts = parts_of(text, ", ");
    if (parts.size() == 9 && text.find(':') == text.npos) return of_matrix(parts);
    if (parts.empty() || parts.size() > 9) return std::nullopt;
    Rotation all;
    for (const std::string_view part : parts) {
        const auto one = about_an_axis(part);
        if (!one) return std::nullopt;
        all = one->after(all);
    }
    return all;
}

}  // namespace earbudget::waveforms
