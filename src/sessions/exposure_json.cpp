#include "sessions/exposure_json.hpp"

#include <charconv>
#include <utility>

#include "earbudget/limits/judge.hpp"
#include "report/words/words.hpp"
#include "sessions/criteria_json.hpp"
#include "sessions/errors_json.hpp"
#include "sessions/json_parts.hpp"

namespace earbudget::sessions {

namespace {

constexpr int format = 1;
constexpr std::size_t most_rows = 1000;
constexpr std::size_t most_criteria = 100;

Json json_of_derating(const Derating& derating) {
    Json json = {{"kind", derating_rows[derating.kind].name}};
    if (derating.kind == Derating::Kind::Own) json["dB"] = derating.own.dB();
    return json;
}

Derating read_derating(const Json& json) {
    const ObjectIn in(json);
    return {in.choice("kind", derating_rows),
            LevelDifference(in.maybe("dB", any_difference).value_or(0.0))};
}

Json json_of_prediction(const Prediction& prediction) {
    return {{"method", method_rows[prediction.method].name},
            {"derating", json_of_derating(prediction.derating)},
            {"performance_percent", prediction.performance.percent()},
            {"LA_dB", prediction.LA.dB()},
            {"by_method_dB", prediction.by_method.dB()},
            {"deduction_dB", prediction.deduction.dB()},
            {"reduction_dB", prediction.reduction.dB()}};
}

std::shared_ptr<const Prediction> read_prediction(const Json& json) {
    const ObjectIn in(json);
    return std::make_shared<const Prediction>(Prediction{
        .method = in.choice("method", method_rows),
        .derating = read_derating(in.at("derating")),
        .performance = ProtectionPerformance(in.number(
            "performance_percent",
            {ProtectionPerformance::lowest_percent, ProtectionPerformance::highest_percent})),
        .LA = in.dB<LevelA>("LA_dB", any_level),
        .by_method = in.dB<LevelDifference>("by_method_dB", any_difference),
        .deduction = in.dB<LevelDifference>("deduction_dB", any_difference),
        .reduction = in.dB<LevelDifference>("reduction_dB", any_difference)});
}

Json json_of_row(const ExposureRecord& record, std::size_t index) {
    const ExposureRow& row = record.day.rows[index];
    Json json = {{"name", record.names[index]}};
    if (row.sound) json["LAeq_dB"] = row.sound->LAeq.dB();
    put_dB(json, "unreduced_dB", row.unreduced);
    put_dB(json, "while_worn_dB", row.while_worn);
    put_dB(json, "at_ear_dB", row.at_ear);
    put_flag(json, "with_protector", row.with_protector);
    json["fraction_worn"] = row.fraction_worn;
    put_flag(json, "poor_fit", row.poor_fit);
    if (row.prediction) json["prediction"] = json_of_prediction(*row.prediction);
    Json segment = json_of_segment(record.errors, index);
    if (!segment.is_null()) json["segment"] = std::move(segment);
    return json;
}

void read_row(const Json& json, ExposureRecord& record) {
    const ObjectIn in(json);
    ExposureRow row{.time = Seconds(1.0)};
    if (const auto LAeq = in.maybe_dB<LevelA>("LAeq_dB", any_level))
        row.sound = std::make_shared<const SoundLevels>(SoundLevels{.LAeq = *LAeq});
    row.unreduced = in.maybe_dB<LevelA>("unreduced_dB", any_level);
    if (const Json* prediction = in.find("prediction"))
        row.prediction = read_prediction(*prediction);
    row.while_worn = in.maybe_dB<LevelA>("while_worn_dB", any_level);
    row.at_ear = in.maybe_dB<LevelA>("at_ear_dB", any_level);
    row.with_protector = in.flag("with_protector");
    row.fraction_worn = in.number("fraction_worn", any_part);
    row.poor_fit = in.flag("poor_fit");
    const Json* const segment = in.find("segment");
    // A sound has levels everywhere and errors, silence has neither.
    const bool heard = row.sound != nullptr;
    if (heard != row.while_worn.has_value() || heard != row.at_ear.has_value() ||
        heard != (segment != nullptr) || (!heard && (row.prediction || row.unreduced)))
        throw Damaged();
    record.names.push_back(in.text("name"));
    record.day.rows.push_back(std::move(row));
    read_segment(segment, record.errors);
}

Json json_of_unreached(const Unreached& unreached) {
    Json json = {{"sounds", texts_of(unreached.sounds)}, {"wears", unreached.wears}};
    if (unreached.method) json["method"] = method_rows[*unreached.method].name;
    json["lacks"] = text_of(unreached.lacks);
    put_flag(json, "protector", unreached.protector);
    put_flag(json, "sequence", unreached.sequence);
    return json;
}

Unreached read_unreached(const Json& json) {
    const ObjectIn in(json);
    Unreached unreached{.sounds = {},
                        .wears = in.texts("wears"),
                        .method = std::nullopt,
                        .lacks = as_it_stands(in.text("lacks"))};
    for (const std::string& sound : in.texts("sounds"))
        unreached.sounds.push_back(as_it_stands(sound));
    if (unreached.sounds.empty()) throw Damaged();
    if (in.find("method")) unreached.method = in.choice("method", method_rows);
    unreached.protector = in.flag("protector");
    unreached.sequence = in.flag("sequence");
    return unreached;
}

/// An id and how its levels came about.
Json json_of_unmeasured(const Message& message) {
    return Json::array({std::get<std::string>(message.arguments.at(0).value),
                        std::get<std::string>(message.arguments.at(1).value)});
}

Message read_unmeasured(const Json& json) {
    if (!json.is_array() || json.size() != 2) throw Damaged();
    return say<RemarkPhrase::NotMeasuredOne>(ObjectIn::text(json[0]), ObjectIn::text(json[1]));
}

Json json_of_provenance(const Provenance& provenance) {
    Json json = {{"program", provenance.program}, {"files", Json::array()}};
    for (const FileHash& file : provenance.files)
        json["files"].push_back({{"file", file.file}, {"sha256", file.sha256}});
    return json;
}

Provenance read_provenance(const Json& json) {
    const ObjectIn in(json);
    return {in.maybe_text("program"), in.list("files", most_rows, [](const Json& one) {
                const ObjectIn file(one);
                return FileHash{file.text("file"), file.text("sha256")};
            })};
}

template <class Parts>
Json list_of(const Parts& parts) {
    Json all = Json::array();
    for (const auto& part : parts)
        all.push_back(json_of(part));
    return all;
}

void put_how(const ExposureRecord& record, Json& json) {
    const ExposureDay& day = record.day;
    if (day.method) json["method"] = method_rows[*day.method].name;
    json["derating"] = json_of_derating(day.derating);
    json["wears"] = day.wears;
    json["fraction_worn"] = day.wearing.fraction_of_time;
    put_flag(json, "poor_fit", day.wearing.poor_fit);
}

void read_how(const ObjectIn& in, ExposureDay& day) {
    if (in.find("method")) day.method = in.choice("method", method_rows);
    day.derating = read_derating(in.at("derating"));
    day.wears = in.texts("wears");
    day.wearing = {in.number("fraction_worn", any_part), in.flag("poor_fit")};
}

void put_judging(const ExposureRecord& record, Json& json) {
    json["accepted_probability"] = record.accepted_probability;
    json["draws"] = {{"draws", record.draws.draws},
                     {"of_times", record.draws.draws_of_times},
                     {"seed", std::to_string(record.draws.seed)}};
    json["criteria"] = list_of(record.criteria);
    for (const Message& message : record.unmeasured)
        json["unmeasured"].push_back(json_of_unmeasured(message));
    for (const Unreached& unreached : record.day.unreached)
        json["unreached"].push_back(json_of_unreached(unreached));
    json["peaks"] = list_of(record.peaks);
}

DrawSettings read_draws(const Json& json) {
    const ObjectIn in(json);
    const auto most = static_cast<std::int64_t>(lattice_size);
    DrawSettings draws;
    draws.draws = static_cast<std::size_t>(in.integer("draws", 1, most));
    draws.draws_of_times = static_cast<std::size_t>(
        in.integer("of_times", static_cast<std::int64_t>(draws.draws), most));
    const std::string seed = in.text("seed");
    const auto [end, error] = std::from_chars(seed.data(), seed.data() + seed.size(), draws.seed);
    if (error != std::errc() || end != seed.data() + seed.size()) throw Damaged();
    return draws;
}

void read_judging(const ObjectIn& in, ExposureRecord& record) {
    record.accepted_probability = in.number(
        "accepted_probability", {lowest_accepted_percent / 200.0, highest_accepted_percent / 50.0});
    record.draws = read_draws(in.at("draws"));
    record.criteria = in.list("criteria", most_criteria, read_criterion);
    record.unmeasured = in.list("unmeasured", most_rows, read_unmeasured);
    record.day.unreached = in.list("unreached", most_rows, read_unreached);
    record.peaks = in.list("peaks", most_criteria, read_peaks);
}

ExposureRecord record_in(const Json& json) {
    const ObjectIn in(json);
    if (in.integer("format", format, format) != format) throw Damaged();
    ExposureRecord record{.provenance = read_provenance(in.at("provenance")),
                          .role = in.choice("role", role_rows)};
    if (in.find("age_group")) record.age_group = in.choice("age_group", age_groups);
    read_how(in, record.day);
    read_judging(in, record);
    read_variables(in, record.errors);
    const Json& rows = in.at("rows");
    if (!rows.is_array() || rows.size() > most_rows) throw Damaged();
    for (const Json& row : rows)
        read_row(row, record);
    return record;
}

}  // namespace

std::string json_of(const ExposureRecord& record) {
    Json json = {{"format", format},
                 {"provenance", json_of_provenance(record.provenance)},
                 {"role", name_of(record.role)}};
    if (record.age_group) json["age_group"] = name_of(*record.age_group);
    put_how(record, json);
    put_judging(record, json);
    json["errors"] = json_of_variables(record.errors);
    json["spreads"] = json_of_spreads(record.errors);
    put_flag(json, "people_spread_unknown", record.errors.people_spread_unknown);
    put_flag(json, "people_spread_by_default", record.errors.people_spread_by_default);
    json["rows"] = Json::array();
    for (std::size_t row = 0; row < record.day.rows.size(); ++row)
        json["rows"].push_back(json_of_row(record, row));
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::optional<ExposureRecord> read_record(std::string_view json) {
    if (json.size() > longest_record) return std::nullopt;
    try {
        return record_in(Json::parse(json));
    } catch (const Json::exception&) {
        return std::nullopt;
    } catch (const Damaged&) {
        return std::nullopt;
    }
}

SharedRecord RecordCache::read(std::string_view json) {
    std::string text(json);
    const auto known = known_.find(text);
    if (known != known_.end()) return known->second;
    auto record = read_record(json);
    SharedRecord shared =
        record ? std::make_shared<const ExposureRecord>(*std::move(record)) : nullptr;
    if (known_.size() >= most) known_.clear();
    known_.emplace(std::move(text), shared);
    return shared;
}

}  // namespace earbudget::sessions
