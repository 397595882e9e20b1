#include "files/sequence_card.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/acoustics/decimal_text.hpp"
#include "files/file_kind.hpp"
#include "files/levels_reader.hpp"

namespace earbudget::files {

namespace {

const std::vector<std::string> origin_keys = {"how",
                                              "who",
                                              "when",
                                              "where",
                                              "subject",
                                              "timing",
                                              "instrument",
                                              "instrument_class",
                                              "calibration",
                                              "background",
                                              "uncertainty",
                                              "recording",
                                              "recording_sha256"};

void check_subject(TableReader& table, const std::string& subject) {
    if (subject.empty() || subject == "phantom" || subject == "person" || subject == "empty")
        return;
    table.report("subject", fmt::format("is \"{}\"; accepted: \"phantom\", \"person\" or "
                                        "\"empty\": what lay in the scanner",
                                        subject));
}

Origin read_origin(TableReader& card) {
    auto table = card.table("origin", "[origin]", origin_keys);
    if (!table) return {};
    Origin origin;
    constexpr std::string_view accepted = R"("measured", "entered" or "guessed")";
    card.errors().attempt([&] { origin.how = table->require_text("how", accepted).value; });
    if (!origin.how.empty() && origin.how != "measured" && origin.how != "entered" &&
        origin.how != "guessed") {
        table->report("how", fmt::format("is \"{}\"; accepted: {}", origin.how, accepted));
    }
    const auto free_text = [&](std::string_view key) {
        const auto text = table->text(key);
        return text ? text->value : std::string();
    };
    origin.who = free_text("who");
    origin.when = free_text("when");
    origin.where = free_text("where");
    origin.subject = free_text("subject");
    check_subject(*table, origin.subject);
    origin.timing = free_text("timing");
    origin.instrument = free_text("instrument");
    if (const auto stated = table->count("instrument_class", 1, 2)) {
        origin.instrument_class = stated->value;
    }
    origin.calibration = free_text("calibration");
    origin.background = free_text("background");
    origin.uncertainty = free_text("uncertainty");
    origin.recording = free_text("recording");
    origin.recording_sha256 = free_text("recording_sha256");
    return origin;
}

/// The keys of [levels] on a card.
std::vector<std::string> card_level_keys() {
    std::vector<std::string> keys = level_keys;
    keys.emplace_back("spectrum_like");
    return keys;
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
std::string number(double value) {
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
            text += fmt::format("\"{}\" = {}\n", name_of(band), number(level->dB()));
        }
    }
    return text;
}

// What is not known counts as 0 and is not written as if it were.
std::string parts_table(const UncertaintyParts& parts) {
    std::string text = fmt::format("\n[levels.uncertainty_parts]\ninstrument = {}\n",
                                   number(parts.instrument.dB()));
    if (parts.position.dB() > 0.0)
        text += fmt::format("position = {}\n", number(parts.position.dB()));
    if (parts.run.dB() > 0.0) text += fmt::format("run = {}\n", number(parts.run.dB()));
    return text;
}

std::string origin_table(const Origin& origin) {
    std::string text = "\n[origin]\n";
    const auto add = [&text](std::string_view key, const std::string& value) {
        if (!value.empty()) text += fmt::format("{} = {}\n", key, toml_string(value));
    };
    add("how", origin.how);
    add("who", origin.who);
    add("when", origin.when);
    add("where", origin.where);
    add("subject", origin.subject);
    add("timing", origin.timing);
    add("instrument", origin.instrument);
    if (origin.instrument_class) {
        text += fmt::format("instrument_class = {}\n", *origin.instrument_class);
    }
    add("calibration", origin.calibration);
    add("background", origin.background);
    add("uncertainty", origin.uncertainty);
    add("recording", origin.recording);
    add("recording_sha256", origin.recording_sha256);
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
    TableReader card =
        open_document(document, path, "sequence", {"id", "title", "levels", "origin"}, errors);
    std::string id;
    if (!errors.attempt([&] { id = require_id(card).value; }))
        errors.lose("sequence", std::nullopt);
    const auto title = card.text("title");
    Sequence sequence{.id = id,
                      .title = title ? title->value : id,
                      .levels = {.LAeq = LevelA(0.0)},
                      .origin = read_origin(card),
                      .stated_at = {path}};
    auto levels = card.table("levels", "[levels]", card_level_keys());
    if (levels) {
        sequence.levels = read_levels(*levels);
        sequence.stated_at = levels->position();
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
        toml_string(sequence.id), toml_string(sequence.title), number(levels.LAeq.dB()));
    if (levels.LCeq) text += fmt::format("LCeq = {}\n", number(levels.LCeq->dB()));
    if (levels.LCpeak) text += fmt::format("LCpeak = {}\n", number(levels.LCpeak->dB()));
    if (levels.LZpeak) text += fmt::format("LZpeak = {}\n", number(levels.LZpeak->dB()));
    if (levels.uncertainty)
        text += fmt::format("uncertainty = {}\n", number(levels.uncertainty->dB()));
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
