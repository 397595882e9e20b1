#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/number_text.hpp"
#include "files/ids.hpp"
#include "files/readers.hpp"
#include "files/study_files.hpp"
#include "review/reviewing.hpp"

namespace earbudget::files {

namespace {

struct OriginText {
    std::string_view key;
    std::string Origin::*text;
};

// In the order in which cards are written.
constexpr OriginText texts_of_origin[] = {
    {"how", &Origin::how},
    {"who", &Origin::who},
    {"when", &Origin::when},
    {"where", &Origin::where},
    {"subject", &Origin::subject},
    {"timing", &Origin::timing},
    {"instrument", &Origin::instrument},
    {"calibration", &Origin::calibration},
    {"background", &Origin::background},
    {"uncertainty", &Origin::uncertainty},
    {"recording", &Origin::recording},
    {"recording_sha256", &Origin::recording_sha256},
};

std::optional<double> seconds_in(std::string_view unit) {
    if (unit == "s") return 1.0;
    if (unit == "min") return 60.0;
    if (unit == "h") return 3600.0;
    return std::nullopt;
}

struct Number {
    double value;
    std::string_view rest;
};

std::optional<Number> number_at_start(std::string_view word) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
    return Number{value, word.substr(static_cast<std::size_t>(end - word.data()))};
}

/// Cards of the program before 0.4.0 say within texts for people what has keys since: the last time
/// in `recording`, "…, 10 s" or "1 min 20 s", but for one that says from when.
std::optional<Seconds> duration_of_old_card(const Origin& origin) {
    const auto words = earbudget::words_of(origin.recording);
    std::optional<double> found;
    std::size_t end_of_last = 0;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (found && words[i] == "from") break;
        const auto number = number_at_start(words[i]);
        if (!number || !(number->value >= 0.0)) continue;
        const bool apart = number->rest.empty();
        if (apart && i + 1 == words.size()) break;
        const auto unit = seconds_in(apart ? std::string_view(words[i + 1]) : number->rest);
        if (!unit) continue;
        const bool goes_on = found && end_of_last == i;
        found = (goes_on ? *found : 0.0) + number->value * *unit;
        end_of_last = i + (apart ? 2 : 1);
    }
    return found ? std::optional(Seconds(*found)) : std::nullopt;
}

/// The same in `background`.
bool is_upper_bound_on_old_card(const Origin& origin) {
    return origin.background.find("upper bound") != std::string::npos;
}

void read_origin(TableReader& card, bool states_bound, Sequence& sequence) {
    auto table = card.table("origin");
    if (!table) return;
    Origin& origin = sequence.origin;
    card.errors().attempt([&] { static_cast<void>(table->require_text("how")); });
    for (const auto& [key, text] : texts_of_origin) {
        const TomlValue* value = table->any(key);
        const auto* stated = value ? std::get_if<std::string>(&value->content) : nullptr;
        // A line of a form that was left empty says nothing.
        if (!stated || !stated->empty()) table->put(key, origin.*text);
    }
    table->put("instrument_class", origin.instrument_class);
    if (const auto duration = table->number("duration_s"))
        origin.duration = Seconds(duration->value);
    if (!table->has("duration_s")) origin.duration = duration_of_old_card(origin);
    if (!states_bound) sequence.LAeq_is_upper_bound = is_upper_bound_on_old_card(origin);
}

void read_spectrum_like(TableReader& levels, Sequence& sequence) {
    const auto other = levels.text("spectrum_like");
    if (!other) return;
    if (!sequence.levels.a_weighted_octaves().empty()) {
        levels.refuse("spectrum_like",
                      "stands beside octave bands of the card's own; accepted: one of them");
    }
    sequence.spectrum_like = other->value;
    sequence.spectrum_like_at = other->position;
}

// A TOML basic string.
std::string toml_string(std::string_view text) {
    std::string result = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            result += '\\';
            result += c;
        } else if (byte < 0x20 || byte == 0x7f) {
            result += fmt::format("\\u{:04X}", byte);
        } else {
            result += c;
        }
    }
    return result + '"';
}

// A TOML float: always with a decimal point, at most three decimals.
std::string toml_number(double value) {
    std::string text = decimal_text(value, 3);
    while (text.back() == '0' && text[text.size() - 2] != '.')
        text.pop_back();
    return text;
}

template <quantity::MeanSquare Q>
std::string octave_table(std::string_view name, const OctaveLevels<Q>& levels) {
    if (levels.empty()) return "";
    std::string text = fmt::format("\n[levels.{}]\n", name);
    for (const OctaveBand band : octave_bands) {
        if (const auto level = levels.at(band)) {
            text += fmt::format("\"{}\" = {}\n", name_of(band), toml_number(level->dB()));
        }
    }
    return text;
}

// What is not known counts as 0 and is not written as if it were.
std::string parts_table(const UncertaintyParts& parts) {
    std::string text = fmt::format("\n[levels.uncertainty_parts]\ninstrument = {}\n",
                                   toml_number(parts.instrument.dB()));
    if (parts.position.dB() > 0.0)
        text += fmt::format("position = {}\n", toml_number(parts.position.dB()));
    if (parts.run.dB() > 0.0) text += fmt::format("run = {}\n", toml_number(parts.run.dB()));
    return text;
}

std::string origin_table(const Origin& origin) {
    std::string text = "\n[origin]\n";
    for (const auto& [key, member] : texts_of_origin) {
        if (!(origin.*member).empty())
            text += fmt::format("{} = {}\n", key, toml_string(origin.*member));
        if (key == "instrument" && origin.instrument_class)
            text += fmt::format("instrument_class = {}\n", *origin.instrument_class);
    }
    if (origin.duration)
        text += fmt::format("duration_s = {}\n", toml_number(origin.duration->count()));
    return text;
}

}  // namespace

Sequence read_sequence_card(const std::string& path, TextInputs& inputs) {
    return read_sequence_card(read_toml(path, inputs), path);
}

Sequence read_sequence_card(const std::string& path) {
    TextInputs inputs;
    return read_sequence_card(path, inputs);
}

Sequence read_sequence_card(const TomlTable& document, const std::string& path) {
    ErrorList errors;
    std::optional<Sequence> card;
    errors.attempt([&] { card = read_sequence_card(document, path, errors); });
    errors.throw_if_any();
    return card.value();
}

Sequence read_sequence_card(const TomlTable& document, const std::string& path, ErrorList& errors) {
    TableReader card = open_document(document, path, card_file, errors);
    std::string id;
    if (!errors.attempt([&] { id = require_id(card).value; }))
        errors.lose("sequence", std::nullopt);
    Sequence sequence{.id = id, .title = id, .levels = {.LAeq = LevelA(0.0)}, .stated_at = {path}};
    card.put("title", sequence.title);
    auto levels = card.table("levels");
    read_origin(card, levels && levels->has("LAeq_is_upper_bound"), sequence);
    if (levels) {
        sequence.levels = read_levels(*levels);
        sequence.stated_at = levels->position();
        levels->put("LAeq_is_upper_bound", sequence.LAeq_is_upper_bound);
        read_spectrum_like(*levels, sequence);
    } else if (!card.has("levels") && !card.is_misspelt("levels")) {
        errors.add(
            {{path}, "the sequence card has no [levels]; accepted: at least LAeq or octave"});
    }
    return sequence;
}

std::string write_sequence_card(const Sequence& sequence) {
    const SoundLevels& levels = sequence.levels;
    std::string text = fmt::format(
        "kind = \"sequence\"\nformat = 1\nid = {}\ntitle = {}\n\n[levels]\nLAeq = {}\n",
        toml_string(sequence.id), toml_string(sequence.title), toml_number(levels.LAeq.dB()));
    if (levels.LCeq) text += fmt::format("LCeq = {}\n", toml_number(levels.LCeq->dB()));
    if (levels.LCpeak) text += fmt::format("LCpeak = {}\n", toml_number(levels.LCpeak->dB()));
    if (levels.LZpeak) text += fmt::format("LZpeak = {}\n", toml_number(levels.LZpeak->dB()));
    if (levels.uncertainty)
        text += fmt::format("uncertainty = {}\n", toml_number(levels.uncertainty->dB()));
    if (sequence.LAeq_is_upper_bound) text += "LAeq_is_upper_bound = true\n";
    if (levels.low_frequency) text += fmt::format("low_frequency = {}\n", *levels.low_frequency);
    if (!sequence.spectrum_like.empty()) {
        text += fmt::format("spectrum_like = {}\n", toml_string(sequence.spectrum_like));
    }
    if (levels.uncertainty_parts) text += parts_table(*levels.uncertainty_parts);
    if (!levels.borrowed) {
        text += octave_table("octave", levels.octave);
        text += octave_table("octave_A", levels.octave_A);
    }
    if (!sequence.origin.how.empty()) text += origin_table(sequence.origin);
    return text;
}

}  // namespace earbudget::files
