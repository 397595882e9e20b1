#include "sessions/bodies.hpp"

#include <utility>

#include <fmt/format.h>

#include "sessions/json_parts.hpp"

namespace earbudget::sessions {

namespace {

constexpr std::string_view exposure_key = "exposure";
constexpr std::string_view rest_key = "rest";
constexpr std::size_t most_files = 1000;
constexpr Range any_time{0.0, 1e9};

std::string dumped(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// An object with a record as its last member.
std::string with_record(const Json& head, std::string_view key, const SharedRecord& record) {
    std::string text = dumped(head);
    if (!record) return text;
    text.back() = ',';
    return fmt::format("{}\"{}\":{}}}", text, key, json_of(*record));
}

/// A body and the text of the record in it.
struct BodyIn {
    Json head;
    std::optional<std::string> record = std::nullopt;
};

/// The record as it was written, word for word, where it comes last; else from the whole. A comma
/// and a key cannot stand so within a text, whose quotation marks are escaped.
BodyIn body_in(std::string_view body, std::string_view key) {
    const std::string mark = fmt::format(",\"{}\":", key);
    const std::size_t at = body.find(mark);
    if (at != std::string_view::npos && body.ends_with("}")) {
        const Json head = Json::parse(std::string(body.substr(0, at)) + "}", nullptr, false);
        if (head.is_object()) {
            const std::size_t begin = at + mark.size();
            return {head, std::string(body.substr(begin, body.size() - 1 - begin))};
        }
    }
    BodyIn whole{Json::parse(body)};
    if (!whole.head.is_object()) throw Damaged();
    const auto found = whole.head.find(std::string(key));
    if (found != whole.head.end() && !found->is_null()) whole.record = dumped(*found);
    return whole;
}

/// What `read` makes of a body; none where that is damaged.
template <class Read>
auto if_whole(const Read& read) -> std::optional<decltype(read())> {
    try {
        return read();
    } catch (const Json::exception&) {
        return std::nullopt;
    } catch (const Damaged&) {
        return std::nullopt;
    }
}

Json json_of_file(const FileHash& file) { return {{"file", file.file}, {"sha256", file.sha256}}; }

FileHash read_file(const Json& json) {
    const ObjectIn in(json);
    return {in.text("file"), in.text("sha256")};
}

Json json_of_plan(const PlanRef& plan) {
    Json json = {{"file", plan.file},
                 {"title", plan.title},
                 {"sha256", plan.sha256},
                 {"data", Json::array()}};
    for (const FileHash& file : plan.data)
        json["data"].push_back(json_of_file(file));
    return json;
}

PlanRef read_plan_ref(const Json& json) {
    const ObjectIn in(json);
    return {in.text("file"), in.maybe_text("title"), in.maybe_text("sha256"),
            in.list("data", most_files, read_file)};
}

constexpr std::int64_t last_entry = INT64_MAX;

}  // namespace

std::string text_of(const PresenceBody& body) {
    Json json = Json::object();
    if (body.plan) json["plan"] = json_of_plan(*body.plan);
    json["person"] = body.person;
    json["role"] = name_of(body.role);
    if (!body.program.empty()) json["program"] = body.program;
    return with_record(json, rest_key, body.rest);
}

std::optional<PresenceBody> read_presence(std::string_view body, RecordCache& cache) {
    return if_whole([&] {
        const BodyIn text = body_in(body, rest_key);
        const ObjectIn in(text.head);
        PresenceBody read{.person = in.text("person"),
                          .role = in.choice("role", role_rows),
                          .program = in.maybe_text("program")};
        if (const Json* plan = in.find("plan")) read.plan = read_plan_ref(*plan);
        if (text.record) read.rest = cache.read(*text.record);
        return read;
    });
}

std::string text_of(const WearBody& body) {
    Json json = {{"wears", body.worn.wears},
                 {"fraction_worn", body.worn.wearing.fraction_of_time},
                 {"poor_fit", body.worn.wearing.poor_fit}};
    put_dB(json, "PAR_dB", body.worn.PAR);
    return with_record(json, rest_key, body.rest);
}

std::optional<WearBody> read_wear(std::string_view body, RecordCache& cache) {
    return if_whole([&] {
        const BodyIn text = body_in(body, rest_key);
        const ObjectIn in(text.head);
        WearBody read{
            .worn = {.wears = in.texts("wears"),
                     .wearing = {in.number("fraction_worn", any_part), in.flag("poor_fit")},
                     .PAR = in.maybe_dB<LevelDifference>("PAR_dB", any_difference)}};
        if (text.record) read.rest = cache.read(*text.record);
        return read;
    });
}

std::string text_of(const CheckBody& body) {
    return dumped(
        {{"ear", ears_checked[body.ear].name}, {"how", body.how}, {"seated", body.seated}});
}

std::optional<CheckBody> read_check(std::string_view body) {
    return if_whole([&] {
        const Json json = Json::parse(body);
        const ObjectIn in(json);
        return CheckBody{in.choice("ear", ears_checked), in.maybe_text("how"), in.flag("seated")};
    });
}

std::string text_of(const RunBody& body) {
    Json json = {{"sequence", body.sequence}};
    if (body.card) json["card"] = json_of_file(*body.card);
    if (body.planned) json["planned_s"] = body.planned->count();
    if (body.started) json["started"] = *body.started;
    put_flag(json, "unconfirmed", body.unconfirmed);
    if (!body.why_unknown.empty()) json["why_unknown"] = body.why_unknown;
    return with_record(json, exposure_key, body.exposure);
}

std::optional<RunBody> read_run(std::string_view body, RecordCache& cache) {
    return if_whole([&] {
        const BodyIn text = body_in(body, exposure_key);
        const ObjectIn in(text.head);
        RunBody read{.sequence = in.text("sequence"), .unconfirmed = in.flag("unconfirmed")};
        if (const Json* card = in.find("card")) read.card = read_file(*card);
        if (const auto planned = in.maybe("planned_s", any_time)) read.planned = Seconds(*planned);
        if (in.find("started")) read.started = in.integer("started", 1, last_entry);
        read.why_unknown = in.maybe_text("why_unknown");
        if (text.record) {
            read.exposure = cache.read(*text.record);
            if (!read.exposure) read.why_unknown = "damaged";
        }
        return read;
    });
}

std::string text_of(const EventBody& body) {
    return dumped({{"what", event_kinds[body.what].name}, {"note", body.note}});
}

std::optional<EventBody> read_event(std::string_view body) {
    return if_whole([&] {
        const Json json = Json::parse(body);
        const ObjectIn in(json);
        return EventBody{in.choice("what", event_kinds), in.maybe_text("note")};
    });
}

std::string text_of_clearance(std::int64_t event) {
    return dumped(Json::object({{"event", event}}));
}

std::optional<std::int64_t> read_clearance(std::string_view body) {
    return if_whole([&] {
        const Json json = Json::parse(body);
        return ObjectIn(json).integer("event", 1, last_entry);
    });
}

}  // namespace earbudget::sessions
