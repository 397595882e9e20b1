#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "earbudget/study/card_age.hpp"
#include "earbudget/study/sequence.hpp"
#include "files/ids.hpp"
#include "files/study_files.hpp"
#include "report/words/words.hpp"
#include "review/reviewing.hpp"

namespace earbudget::files {

namespace {

template <quantity::MeanSquare Q>
OctaveLevels<Q> read_octaves(TableReader& levels, std::string_view key) {
    OctaveLevels<Q> octaves;
    auto table = levels.table(key);
    if (!table) return octaves;
    for (const OctaveBand band : octave_bands)
        if (const auto level = table->number(name_of(band)))
            octaves.set(band, Level<Q>(level->value));
    return octaves;
}

// Of what is stated to a tenth of a decibel.
constexpr double agreement_of_parts = 0.1;

void read_uncertainty(TableReader& table, SoundLevels& levels) {
    auto stated = table.table("uncertainty_parts");
    if (!stated) return;
    UncertaintyParts parts;
    stated->put("instrument", parts.instrument);
    stated->put("position", parts.position);
    stated->put("run", parts.run);
    const double combined = parts.combined().dB();
    const double whole = levels.uncertainty.value_or(parts.combined()).dB();
    if (std::abs(whole - combined) > agreement_of_parts + arithmetic_slack) {
        throw InputError(
            stated->position(),
            fmt::format("the parts of the uncertainty combine to {:.2f} dB, but \"uncertainty\" is "
                        "{:.2f} dB; accepted: parts whose root of the sum of the squares is within "
                        "{:.1f} dB of it, or no \"uncertainty\"",
                        combined, whole, agreement_of_parts));
    }
    levels.uncertainty = LevelDifference(whole);
    levels.uncertainty_parts = parts;
}

/// Throws InputError for levels that are missing or contradict each other.
void read_levels(TableReader& table, std::optional<LevelA> LAeq_of_samples, SoundLevels& levels) {
    std::optional<LevelA> LAeq = LAeq_of_samples;
    if (!LAeq) table.put("LAeq", LAeq);
    levels.LAeq = LAeq.value_or(LevelA(0.0));
    for_each_level_key(levels, [&](std::string_view key, auto& value) { table.put(key, value); });
    read_uncertainty(table, levels);
    levels.octave = read_octaves<quantity::Unweighted>(table, "octave");
    levels.octave_A = read_octaves<quantity::AWeighted>(table, "octave_A");
    if (!LAeq) {
        const auto sum = levels.a_weighted_octaves().sum();
        if (!sum) {
            throw InputError(table.position(),
                             fmt::format("{} has neither \"LAeq\" nor octave-band levels; "
                                         "accepted: at least one of them",
                                         table.name()));
        }
        levels.LAeq = *sum;
    }
    if (const auto contradiction = contradiction_in(levels)) {
        throw InputError(table.position_of(contradiction->key), text_of(contradiction->says));
    }
}

}  // namespace

SoundLevels read_levels(TableReader& table, std::optional<LevelA> LAeq_of_samples) {
    SoundLevels levels{.LAeq = LevelA(0.0)};
    table.attempt([&] { read_levels(table, LAeq_of_samples, levels); });
    return levels;
}

namespace {

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

/// Nobody measured tomorrow, wherever it is tomorrow already.
void check_when(TableReader& origin, const std::string& when) {
    const std::string day = day_at_start(when);
    const std::string latest = day_after(today());
    if (day.empty() || day <= latest) return;
    origin.report("when", fmt::format("is \"{}\", later than tomorrow; accepted: the day of the "
                                      "measurement, {} at the latest, or a text",
                                      excerpt(when), latest));
}

void read_origin(TableReader& card, bool states_bound, Sequence& sequence) {
    auto table = card.table("origin");
    if (!table) return;
    Origin& origin = sequence.origin;
    card.errors().attempt([&] { static_cast<void>(table->require_text("how")); });
    for (const OriginRow& row : origin_rows) {
        const TomlValue* value = table->any(row.key);
        const auto* stated = value ? std::get_if<std::string>(&value->content) : nullptr;
        // A line of a form that was left empty says nothing.
        if (stated && stated->empty() && row.member.index() == 0) continue;
        std::visit([&](auto member) { table->put(row.key, origin.*member); }, row.member);
    }
    check_when(*table, origin.when);
    if (!table->has("duration_s")) origin.duration = duration_of_old_card(origin);
    if (!states_bound) sequence.LAeq_is_upper_bound = is_upper_bound_on_old_card(origin);
}

/// From when to when, and in the place of what, a card is used.
void read_age(TableReader& card, Sequence& sequence) {
    card.put("scanner", sequence.scanner);
    card.put("software", sequence.software);
    card.put("coil", sequence.coil);
    card.put("valid_until", sequence.valid_until);
    if (!sequence.valid_until.empty() && !is_calendar_day(sequence.valid_until)) {
        card.report("valid_until", fmt::format("is \"{}\", no day of the calendar; accepted: "
                                               "\"YYYY-MM-DD\", for example \"2028-02-29\"",
                                               excerpt(sequence.valid_until)));
        sequence.valid_until.clear();
    }
    const auto others = card.texts("supersedes");
    if (!others) return;
    for (const Located<std::string>& other : others->value) {
        if (other.value == sequence.id && !other.value.empty())
            card.errors().add(
                {other.position, "\"supersedes\" names the card itself; accepted: ids of others"});
        sequence.supersedes.push_back(other.value);
    }
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

}  // namespace

Sequence read_sequence_card(const std::string& path) {
    TextInputs inputs;
    return read_sequence_card(read_toml(path, inputs), path);
}

Sequence read_sequence_card(const TomlTable& document, const std::string& path) {
    return without_mistakes(
        [&](ErrorList& errors) { return read_sequence_card(document, path, errors); });
}

Sequence read_sequence_card(const TomlTable& document, const std::string& path, ErrorList& errors) {
    TableReader card = open_document(document, path, card_file, errors);
    std::string id;
    if (!errors.attempt([&] { id = require_id(card).value; }))
        errors.lose("sequence", std::nullopt);
    Sequence sequence{.id = id, .title = id, .levels = {.LAeq = LevelA(0.0)}, .stated_at = {path}};
    card.put("title", sequence.title);
    read_age(card, sequence);
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

}  // namespace earbudget::files
