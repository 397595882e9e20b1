#include "desk/sounds_bands.hpp"

#include <array>

#include <fmt/format.h>

#include "files/written_values.hpp"
#include "report/html/markup.hpp"

namespace earbudget::desk {

namespace {

/// Frequencies of attenuation data, in hertz; two of them count for the NRR alone.
constexpr std::array<double, 10> test_frequencies = {63,   125,  250,  500,  1000,
                                                     2000, 3150, 4000, 6300, 8000};

std::string mean_at(double Hz) { return fmt::format("mean-{:g}", Hz); }
std::string sd_at(double Hz) { return fmt::format("sd-{:g}", Hz); }

/// Two of them have older round names.
double settled_frequency(double Hz) { return Hz == 3000.0 ? 3150.0 : Hz == 6000.0 ? 6300.0 : Hz; }

/// The numbers of an array of a protector with where each stands.
std::vector<std::pair<double, SourcePosition>> numbers_in(const files::TomlTable& document,
                                                          const editing::Path& protector,
                                                          std::string_view key) {
    std::vector<std::pair<double, SourcePosition>> numbers;
    const files::TomlEntry* entry = entry_in(document, protector, key);
    const auto* array = entry ? std::get_if<files::TomlArray>(&entry->value.content) : nullptr;
    if (!array) return numbers;
    for (const files::TomlValue& value : *array) {
        if (const auto* real = std::get_if<double>(&value.content))
            numbers.emplace_back(*real, value.position);
        if (const auto* whole = std::get_if<std::int64_t>(&value.content))
            numbers.emplace_back(static_cast<double>(*whole), value.position);
    }
    return numbers;
}

const std::string& band_text(const Typed& values, const std::string& name) {
    static const std::string none;
    const auto found = values.find(name);
    return found == values.end() ? none : found->second;
}

/// The number in a field; a mistake there for anything else.
std::optional<double> number_at(const std::string& name, FormState& state) {
    const std::string& text = band_text(state.values, name);
    const auto number = typed_number(text);
    if (!number)
        state.mistakes.at[name] =
            text.empty() ? "nothing stands here; accepted: mean and sd of a band, or neither"
                         : fmt::format(
                               "\"{}\" is no number; accepted: a number of dB, with a "
                               "decimal point",
                               text);
    return number;
}

}  // namespace

void show_bands(const files::TomlTable& document, const editing::Path& protector, Typed& values) {
    const auto frequencies = numbers_in(document, protector, "frequency");
    const auto means = numbers_in(document, protector, "mean");
    const auto deviations = numbers_in(document, protector, "sd");
    for (std::size_t n = 0; n < frequencies.size(); ++n) {
        const double Hz = settled_frequency(frequencies[n].first);
        if (n < means.size()) values[mean_at(Hz)] = shown_number(means[n].first);
        if (n < deviations.size()) values[sd_at(Hz)] = shown_number(deviations[n].first);
    }
}

void take_bands(const Form& form, Typed& values) {
    for (const double Hz : test_frequencies)
        for (const std::string& name : {mean_at(Hz), sd_at(Hz)})
            if (form.has(name)) values[name] = files::trimmed(form.get(name));
}

std::vector<editing::Edit> band_edits(const Typed& shown, const editing::Path& protector,
                                      FormState& state) {
    std::vector<double> frequencies, means, deviations;
    bool any_changed = false;
    for (const double Hz : test_frequencies) {
        for (const std::string& name : {mean_at(Hz), sd_at(Hz)})
            any_changed = any_changed || band_text(shown, name) != band_text(state.values, name);
        if (band_text(state.values, mean_at(Hz)).empty() &&
            band_text(state.values, sd_at(Hz)).empty())
            continue;
        const auto mean = number_at(mean_at(Hz), state), deviation = number_at(sd_at(Hz), state);
        if (!mean || !deviation) continue;
        frequencies.push_back(Hz);
        means.push_back(*mean);
        deviations.push_back(*deviation);
    }
    if (!any_changed) return {};
    if (frequencies.empty())
        return {editing::Remove{protector, "frequency"}, editing::Remove{protector, "mean"},
                editing::Remove{protector, "sd"}};
    return {editing::Set{protector, "frequency", frequencies},
            editing::Set{protector, "mean", means}, editing::Set{protector, "sd", deviations}};
}

Places band_places(const files::TomlTable& document, const editing::Path& protector) {
    Places places;
    const auto frequencies = numbers_in(document, protector, "frequency");
    const auto add = [&](std::string_view key, const auto& name_at) {
        const auto numbers = numbers_in(document, protector, key);
        for (std::size_t n = 0; n < std::min(numbers.size(), frequencies.size()); ++n)
            places.emplace_back(numbers[n].second,
                                name_at(settled_frequency(frequencies[n].first)));
    };
    add("frequency", mean_at);
    add("mean", mean_at);
    add("sd", sd_at);
    return places;
}

std::string band_fields(const FormState& state) {
    std::string fields;
    for (const double Hz : test_frequencies) {
        const bool between = Hz == 3150.0 || Hz == 6300.0;
        const std::string of = fmt::format("{:g} Hz{}", Hz, between ? ", for the NRR alone" : "");
        fields += live_field(mean_at(Hz), of + ": mean, dB", state, {}, "inputmode=\"decimal\"") +
                  live_field(sd_at(Hz), of + ": sd, dB", state, {}, "inputmode=\"decimal\"");
    }
    return report::html::element("div", "fields twos", "\n" + fields);
}

}  // namespace earbudget::desk
