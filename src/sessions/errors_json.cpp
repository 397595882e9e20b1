#include "sessions/errors_json.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

namespace earbudget::sessions {

namespace {

constexpr std::size_t most_variables = 4096;
constexpr std::size_t most_terms = 4096;
constexpr Range any_z{-10.0, 10.0};

constexpr auto error_keys = rows_of<NameRow<ErrorKind>>({{ErrorKind::Instrument, "instrument"},
                                                         {ErrorKind::Microphone, "microphone"},
                                                         {ErrorKind::Run, "run"},
                                                         {ErrorKind::Sampling, "sampling"},
                                                         {ErrorKind::Duration, "duration"},
                                                         {ErrorKind::Difference, "difference"},
                                                         {ErrorKind::People, "people"},
                                                         {ErrorKind::Fit, "fit"},
                                                         {ErrorKind::WearingTime, "wearing-time"},
                                                         {ErrorKind::Spectrum, "spectrum"}});

Json json_of_term(const ErrorTerm& term) { return Json::array({term.variable, term.size}); }

Json json_of_terms(const std::vector<ErrorTerm>& terms) {
    Json all = Json::array();
    for (const ErrorTerm& term : terms)
        all.push_back(json_of_term(term));
    return all;
}

void put_term(Json& json, const char* key, const std::optional<ErrorTerm>& term) {
    if (term) json[key] = json_of_term(*term);
}

/// Terms of a record whose variables are known.
class TermsIn {
  public:
    explicit TermsIn(const DayErrors& errors) : errors_(errors) {}

    [[nodiscard]] std::size_t variable(const Json& json) const {
        const auto last = static_cast<std::int64_t>(errors_.variables.size()) - 1;
        return static_cast<std::size_t>(ObjectIn::integer(json, 0, last));
    }
    [[nodiscard]] ErrorTerm term(const Json& json) const {
        if (!json.is_array() || json.size() != 2) throw Damaged();
        return {variable(json[0]), ObjectIn::number(json[1], any_size)};
    }
    [[nodiscard]] std::optional<ErrorTerm> maybe(const ObjectIn& in, const char* key) const {
        const Json* const found = in.find(key);
        return found ? std::optional(term(*found)) : std::nullopt;
    }
    [[nodiscard]] std::vector<ErrorTerm> all(const ObjectIn& in, const char* key) const {
        return in.list(key, most_terms, [this](const Json& json) { return term(json); });
    }

  private:
    const DayErrors& errors_;
};

Json json_of_protection(const SegmentProtection& protection, const DayErrors& errors) {
    Json json = {{"reduction_dB", protection.reduction.dB()}};
    put_flag(json, "poor_fit", protection.poor_fit);
    if (protection.people) {
        const auto spread = std::ranges::find_if(
            errors.spreads, [&](const auto& one) { return one.get() == protection.spread; });
        json["people"] = {*protection.people, spread - errors.spreads.begin()};
    }
    put_term(json, "fit", protection.fit);
    put_term(json, "spectrum", protection.spectrum);
    json["fraction_worn"] = protection.fraction_worn;
    put_term(json, "wearing_time", protection.wearing_time);
    return json;
}

SegmentProtection read_protection(const Json& json, const DayErrors& errors) {
    const ObjectIn in(json);
    const TermsIn terms(errors);
    SegmentProtection protection{
        .reduction = in.dB<LevelDifference>("reduction_dB", any_difference),
        .poor_fit = in.flag("poor_fit"),
        .fit = terms.maybe(in, "fit"),
        .spectrum = terms.maybe(in, "spectrum"),
        .fraction_worn = in.number("fraction_worn", any_part),
        .wearing_time = terms.maybe(in, "wearing_time")};
    if (const Json* people = in.find("people")) {
        if (!people->is_array() || people->size() != 2) throw Damaged();
        protection.people = terms.variable((*people)[0]);
        const auto last = static_cast<std::int64_t>(errors.spreads.size()) - 1;
        const auto spread = ObjectIn::integer((*people)[1], 0, last);
        protection.spread = errors.spreads[static_cast<std::size_t>(spread)].get();
    }
    return protection;
}

std::shared_ptr<const PeopleSpread> read_spread(const Json& json) {
    const ObjectIn in(json);
    const double z = in.number("z", any_z);
    auto bands = in.list("bands", octave_band_count, [](const Json& one) -> PeopleSpread::Band {
        if (!one.is_array() || one.size() != 4) throw Damaged();
        const auto band = ObjectIn::integer(one[0], 0, octave_band_count - 1);
        return {octave_bands[static_cast<std::size_t>(band)],
                LevelA(ObjectIn::number(one[1], any_level)),
                LevelDifference(ObjectIn::number(one[2], any_difference)),
                LevelDifference(ObjectIn::number(one[3], {0.0, 60.0}))};
    });
    if (bands.empty()) {
        // Of a label alone.
        return std::make_shared<const PeopleSpread>(PeopleSpread::by_default(z));
    }
    return std::make_shared<const PeopleSpread>(
        PeopleSpread::of_bands(std::move(bands), z, in.flag("by_pink_noise")));
}

std::uint64_t read_stream(const std::string& text) {
    std::uint64_t stream = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), stream, 16);
    if (error != std::errc() || end != text.data() + text.size()) throw Damaged();
    return stream;
}

}  // namespace

std::string_view key_of(ErrorKind kind) { return error_keys[kind].name; }

Json json_of_variables(const DayErrors& errors) {
    Json all = Json::array();
    for (const ErrorVariable& variable : errors.variables)
        all.push_back(
            {{"kind", key_of(variable.kind)}, {"stream", fmt::format("{:016x}", variable.stream)}});
    return all;
}

Json json_of_spreads(const DayErrors& errors) {
    Json all = Json::array();
    for (const auto& spread : errors.spreads) {
        Json json = {{"z", spread->assumed_z()}};
        put_flag(json, "by_pink_noise", spread->by_pink_noise());
        for (const PeopleSpread::Band& band : spread->bands())
            json["bands"].push_back(Json::array(
                {index_of(band.band), band.level.dB(), band.mean.dB(), band.deviation.dB()}));
        all.push_back(std::move(json));
    }
    return all;
}

Json json_of_segment(const DayErrors& errors, std::size_t row) {
    const auto index = errors.segment_of(row, 0);
    if (!index) return nullptr;
    const Segment& segment = errors.segments[*index];
    Json json = {{"outside_dB", segment.outside.dB()}, {"errors", json_of_terms(segment.errors)}};
    if (segment.unreduced) {
        json["unreduced_dB"] = segment.unreduced->dB();
        json["errors_of_unreduced"] = json_of_terms(segment.errors_of_unreduced);
    }
    put_term(json, "duration", segment.duration);
    if (segment.protection) json["protection"] = json_of_protection(*segment.protection, errors);
    return json;
}

void read_variables(const ObjectIn& record, DayErrors& errors) {
    errors.variables = record.list("errors", most_variables, [](const Json& one) {
        const ObjectIn in(one);
        return ErrorVariable{in.choice("kind", error_keys), read_stream(in.text("stream"))};
    });
    errors.spreads = record.list("spreads", most_variables, read_spread);
    errors.people_spread_unknown = record.flag("people_spread_unknown");
    errors.people_spread_by_default = record.flag("people_spread_by_default");
}

void read_segment(const Json* segment, DayErrors& errors) {
    auto& there = errors.segments_of_row.emplace_back();
    if (!segment) return;
    const ObjectIn in(*segment);
    const TermsIn terms(errors);
    Segment read{.outside = in.dB<LevelA>("outside_dB", any_level),
                 .errors = terms.all(in, "errors"),
                 .unreduced = in.maybe_dB<LevelA>("unreduced_dB", any_level),
                 .errors_of_unreduced = terms.all(in, "errors_of_unreduced"),
                 .duration = terms.maybe(in, "duration")};
    if (const Json* protection = in.find("protection"))
        read.protection = read_protection(*protection, errors);
    there.push_back(errors.segments.size());
    errors.segments.push_back(std::move(read));
}

}  // namespace earbudget::sessions
