#include <fmt/format.h>

#include "files/study_files.hpp"
#include "files/written_values.hpp"

namespace earbudget::files {

namespace {

std::string toml_value(const std::string& text) { return toml_string(text); }
std::string toml_value(bool flag) { return flag ? "true" : "false"; }
std::string toml_value(unsigned number) { return fmt::format("{}", number); }
std::string toml_value(double value) { return toml_float(value); }

std::string toml_value(Seconds time) { return toml_value(time.count()); }
template <class L>
requires requires(L level) { level.dB(); }
std::string toml_value(L level) { return toml_value(level.dB()); }

template <class T>
std::string key_line(std::string_view key, const T& value) {
    return fmt::format("{} = {}\n", key, toml_value(value));
}

// What is not known is not written.
template <class T>
std::string key_line(std::string_view key, const std::optional<T>& value) {
    return value ? key_line(key, *value) : "";
}

template <quantity::MeanSquare Q>
std::string octave_table(std::string_view name, const OctaveLevels<Q>& levels) {
    if (levels.empty()) return "";
    std::string text = fmt::format("\n[levels.{}]\n", name);
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) {
            text += key_line(fmt::format("\"{}\"", name_of(band)), *level);
        }
    }
    return text;
}

// A part that is not known counts as 0 and is not written as if it were.
std::string parts_table(const UncertaintyParts& parts) {
    std::string text = "\n[levels.uncertainty_parts]\n" + key_line("instrument", parts.instrument);
    if (parts.position.dB() > 0.0) text += key_line("position", parts.position);
    if (parts.run.dB() > 0.0) text += key_line("run", parts.run);
    return text;
}

std::string origin_table(const Origin& origin) {
    std::string text = "\n[origin]\n";
    for (const OriginRow& row : origin_rows) {
        const auto written = [&](auto member) { return key_line(row.key, origin.*member); };
        const auto* plain = std::get_if<0>(&row.member);
        if (!plain || !(origin.**plain).empty()) text += std::visit(written, row.member);
    }
    return text;
}

/// What is known of scanner and validity.
std::string age_lines(const Sequence& sequence) {
    std::string text;
    const auto add = [&text](std::string_view key, const std::string& value) {
        if (!value.empty()) text += key_line(key, value);
    };
    add("scanner", sequence.scanner);
    add("software", sequence.software);
    add("coil", sequence.coil);
    add("valid_until", sequence.valid_until);
    std::string ids;
    for (const std::string& id : sequence.supersedes)
        ids += (ids.empty() ? "" : ", ") + toml_value(id);
    return ids.empty() ? text : text + "supersedes = [" + ids + "]\n";
}

}  // namespace

std::string write_sequence_card(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    std::string text = "kind = \"sequence\"\nformat = 1\n" + key_line("id", sequence.id) +
                       key_line("title", sequence.title) + age_lines(sequence) + "\n[levels]\n" +
                       key_line("LAeq", levels.LAeq);
    for_each_level_key(
        levels, [&](std::string_view key, const auto& value) { text += key_line(key, value); });
    if (sequence.LAeq_is_upper_bound) text += key_line("LAeq_is_upper_bound", true);
    if (!sequence.spectrum_like.empty()) text += key_line("spectrum_like", sequence.spectrum_like);
    if (levels.uncertainty_parts) text += parts_table(*levels.uncertainty_parts);
    if (!levels.borrowed) {
        text += octave_table("octave", levels.octave);
        text += octave_table("octave_A", levels.octave_A);
    }
    if (!sequence.origin.how.empty()) text += origin_table(sequence.origin);
    return text;
}

}  // namespace earbudget::files
