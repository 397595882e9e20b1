#include <algorithm>
#include <set>
#include <string_view>

#include <nlohmann/json.hpp>

#include "guides/guides.hpp"
#include "overview/cards.hpp"
#include "overview/shapes.hpp"
#include "predicting/prediction.hpp"
#include "records/register_copy.hpp"
#include "records/register_done.hpp"
#include "records/register_report.hpp"
#include "records/register_totals.hpp"
#include "records/session_done.hpp"
#include "records/session_next.hpp"
#include "records/session_show.hpp"
#include "report/shape.hpp"
#include "responses/response_answer.hpp"
#include "starting/started_study.hpp"

namespace earbudget::guides {

namespace {

using Json = nlohmann::ordered_json;
using report::FieldShape;
using report::Note;
using report::ObjectShape;
using report::Shape;

constexpr std::string_view of_several = "common.schema.json";

/// Where a definition stands that several places refer to.
struct Place {
    std::string file;
    std::string name;  ///< empty: the whole file

    Place(std::string_view shared_as, const std::string& from)
        : file(shared_as.substr(0, shared_as.find('#'))),
          name(shared_as.find('#') == shared_as.npos ? ""
                                                     : shared_as.substr(shared_as.rfind('/') + 1)) {
        if (file.empty()) file = from;
    }
    [[nodiscard]] std::string seen_from(const std::string& from) const {
        const bool is_here = file == from && file != of_several;
        return (is_here ? "" : file) + (name.empty() ? "" : "#/$defs/" + name);
    }
};

std::string_view name_of(Shape::Kind kind) {
    switch (kind) {
        case Shape::Kind::Boolean:
        case Shape::Kind::True:
            return "boolean";
        case Shape::Kind::Integer:
            return "integer";
        case Shape::Kind::Number:
            return "number";
        case Shape::Kind::List:
            return "array";
        case Shape::Kind::Map:
        case Shape::Kind::Object:
            return "object";
        default:
            return "string";
    }
}

/// Whole numbers without decimals.
Json bound(double value) {
    const auto whole = static_cast<int>(value);
    return whole == value ? Json(whole) : Json(value);
}

Json either_null_or(Json schema) {
    if (schema.size() == 1 && schema.contains("enum")) {
        schema["enum"].push_back(nullptr);
        return schema;
    }
    if (schema.contains("type") && schema["type"] != "object" && schema["type"] != "array") {
        if (!schema["type"].is_array()) schema["type"] = Json::array({schema["type"]});
        schema["type"].push_back("null");
        return schema;
    }
    if (schema.contains("anyOf")) {
        schema["anyOf"].insert(schema["anyOf"].begin(), Json{{"type", "null"}});
        return schema;
    }
    return {{"anyOf", Json::array({Json{{"type", "null"}}, std::move(schema)})}};
}

/// All schemas, each made when it is first referred to.
class Schemas {
  public:
    void add(const ObjectShape& report) {
        const Place place(report.shared_as, {});
        Json schema = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                       {"$id", place.file},
                       {"title", report.means}};
        add_object(report, place.file, schema);
        of_file(place.file).update(schema);
    }

    [[nodiscard]] const std::map<std::string, Json>& files() const { return files_; }
    [[nodiscard]] const std::map<std::string, Json>& definitions() const { return definitions_; }

  private:
    Json& of_file(const std::string& file) {
        const auto [at, is_new] = files_.try_emplace(file, Json::object());
        if (is_new && file == of_several) {
            at->second = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                          {"$id", file},
                          {"title", "What several reports of earbudget share"}};
        }
        return at->second;
    }

    /// A reference to what `make` gives of the file in which it stands.
    template <class Make>
    Json reference(std::string_view shared_as, const std::string& from, const Make& make) {
        const Place place(shared_as, from);
        const bool is_new = made_.insert(place.file + "#" + place.name).second;
        if (is_new && !place.name.empty()) {
            of_file(place.file);
            definitions_[place.file][place.name] = nullptr;  // its place in the order
            Json made = make(place.file);
            definitions_[place.file][place.name] = std::move(made);
        }
        return {{"$ref", place.seen_from(from)}};
    }

    Json object(const ObjectShape& shape, const std::string& from) {
        const auto whole = [&](const std::string& file) {
            Json schema = Json::object();
            if (!shape.means.empty()) schema["description"] = shape.means;
            add_object(shape, file, schema);
            return schema;
        };
        if (shape.shared_as.empty()) return whole(from);
        if (shape.shared_as.find('#') == shape.shared_as.npos && !made_.contains(file_key(shape))) {
            made_.insert(file_key(shape));
            add(shape);
        }
        return reference(shape.shared_as, from, whole);
    }
    static std::string file_key(const ObjectShape& shape) {
        return std::string(shape.shared_as) + "#";
    }

    void add_object(const ObjectShape& shape, const std::string& file, Json& schema) {
        schema["type"] = "object";
        schema["additionalProperties"] = false;
        add_fields(shape, file, schema);
    }

    void add_fields(const ObjectShape& shape, const std::string& file, Json& schema) {
        Json required = Json::array();
        Json properties = Json::object();
        for (const FieldShape& field : shape.fields) {
            if (field.always) required.push_back(field.key);
            properties[field.key] = noted(field.shape, field.note, file);
        }
        if (!required.empty()) schema["required"] = required;
        schema["properties"] = properties;
    }

    /// What is said of a value and what it is.
    Json noted(const Shape& shape, const Note& note, const std::string& file) {
        Json schema = Json::object();
        Json value = value_of(shape, note, file);
        if (!note.means.empty()) {
            schema["description"] = note.means;
            value.erase("description");
        }
        schema.update(value);
        return schema;
    }

    Json value_of(const Shape& shape, const Note& note, const std::string& file) {
        Shape known = shape;
        known.or_null = false;
        if (shape.or_null) return either_null_or(value_of(known, note, file));
        if (shape.shared_as.empty()) return unshared(shape, note, file);
        return reference(shape.shared_as, file,
                         [&](const std::string& there) { return unshared(shape, {}, there); });
    }

    Json unshared(const Shape& shape, const Note& note, const std::string& file) {
        switch (shape.kind) {
            case Shape::Kind::True:
                return {{"const", true}};
            case Shape::Kind::AnyOf:
                return any_of(shape, note, file);
            case Shape::Kind::Object:
                return object(shape.object(), file);
            case Shape::Kind::Map:
                return map(shape, note, file);
            case Shape::Kind::List: {
                Json schema = {{"type", "array"}, {"items", value_of(shape.parts[0], note, file)}};
                if (note.filled) schema["minItems"] = 1;
                return schema;
            }
            default:
                return scalar(shape, note);
        }
    }

    Json any_of(const Shape& shape, const Note& note, const std::string& file) {
        const bool are_types = std::ranges::all_of(shape.parts, [](const Shape& part) {
            return part.names.empty() && part.kind != Shape::Kind::Object;
        });
        Json all = Json::array();
        for (const Shape& part : shape.parts)
            all.push_back(are_types ? Json(name_of(part.kind)) : value_of(part, note, file));
        return {{are_types ? "type" : "anyOf", all}};
    }

    Json map(const Shape& shape, const Note& note, const std::string& file) {
        Json schema = {{"type", "object"}};
        if (const auto names = note.texts(); !names.empty())
            schema["propertyNames"] = {{"enum", names}};
        if (shape.object) add_fields(shape.object(), file, schema);
        schema["additionalProperties"] = value_of(shape.parts[0], {}, file);
        return schema;
    }

    static Json scalar(const Shape& shape, const Note& note) {
        std::vector<std::string> names = note.texts();
        if (names.empty()) names = shape.names;
        std::erase(names, note.none_of);
        if (names.size() == 1) return {{"const", names[0]}};
        if (!names.empty()) return {{"enum", names}};
        Json schema = {{"type", name_of(shape.kind)}};
        if (!note.pattern.empty()) schema["pattern"] = note.pattern;
        if (note.above) schema["exclusiveMinimum"] = bound(*note.above);
        if (note.min) {
            schema["minimum"] = bound(*note.min);
        } else if (shape.is_positive) {
            schema["minimum"] = 0;
        }
        if (note.max) schema["maximum"] = bound(*note.max);
        if (note.filled && shape.kind == Shape::Kind::Text) schema["minLength"] = 1;
        return schema;
    }

    std::map<std::string, Json> files_ = {};
    std::map<std::string, Json> definitions_ = {};
    std::set<std::string> made_ = {};
};

std::string on_one_line(const Json& json) {
    if (!json.is_structured() || json.empty()) return json.dump();
    std::string text = json.is_object() ? "{ " : "[";
    bool is_first = true;
    for (const auto& [key, value] : json.items()) {
        if (!is_first) text += ", ";
        is_first = false;
        text += (json.is_object() ? Json(key).dump() + ": " : "") + on_one_line(value);
    }
    return text + (json.is_object() ? " }" : "]");
}

/// With what fits on a line on one line.
std::string printed(const Json& json, std::size_t indent, std::size_t column) {
    constexpr std::size_t width = 110;
    const std::string line = on_one_line(json);
    if (!json.is_structured() || json.empty() || column + line.size() <= width) return line;
    std::string text(1, json.is_object() ? '{' : '[');
    std::size_t used = width;  // of the present line of a list of words
    for (const auto& [key, value] : json.items()) {
        if (text.size() > 1) text += ',';
        const std::string name = json.is_object() ? Json(key).dump() + ": " : "";
        const std::string part = printed(value, indent + 2, indent + 2 + name.size());
        if (!value.is_structured() && !json.is_object() && used + part.size() + 2 <= width) {
            text += ' ';
            used += part.size() + 2;
        } else {
            text += '\n' + std::string(indent + 2, ' ');
            used = indent + 2 + part.size();
        }
        text += name + part;
    }
    return text + '\n' + std::string(indent, ' ') + (json.is_object() ? '}' : ']');
}

/// A recording of an archive of which there are no levels.
const ObjectShape& failure() {
    const Shape text{.kind = Shape::Kind::Text};
    static const ObjectShape shape{
        "",
        "",
        {{"file", text, {}, true},
         {"status",
          report::or_null({.kind = Shape::Kind::Integer}),
          {.means = "exit status; null where it was stopped by a signal or has not ended"},
          true},
         {"message", text, {.filled = true}, true}}};
    return shape;
}

/// What earbudget-collect puts together of many reports of `measure`.
ObjectShape archive() {
    const std::map<std::string_view, std::string_view> means = {
        {"version", "that measured, the same for all"},
        {"date", "the latest of all"},
        {"inputs", "by name; a file that changed between two recordings is here with both sums"},
        {"recordings", "by the bytes of their names, each as measure gives it"}};
    ObjectShape archive{
        "archive.schema.json", "earbudget-collect: every recording of an archive in one", {}};
    for (FieldShape field : report::measure_shape().fields) {
        if (field.key == "fingerprint") continue;
        if (field.key == "command") field.note.one_of = "collect";
        if (means.contains(field.key)) field.note.means = means.at(field.key);
        archive.fields.push_back(field);
        if (field.key != "recordings") continue;
        const Shape one{.kind = Shape::Kind::Object, .object = failure};
        archive.fields.push_back(
            {"failed",
             {.kind = Shape::Kind::List, .parts = {one}},
             {.means = "by the bytes of their names, status 1 is in recordings too; then damaged "
                       "lines of the joblog, as joblog:7"},
             true});
    }
    return archive;
}

}  // namespace

std::map<std::string, std::string> schemas() {
    Schemas all;
    for (const auto shape :
         {report::assess_shape, report::choose_shape, report::measure_shape, report::ratings_shape,
          report::review_shape, report::plans_shape, report::study_shape, overview::cards_shape,
          predicting::prediction_shape, responses::response_shape,
          starting::started_shape, records::register_shape, records::totals_shape,
          records::report_shape, records::copy_shape}) {
        all.add(shape());
    }
    for (const auto shape : {records::session_done_shape, records::next_shape, records::show_shape})
        all.add(shape());
    all.add(archive());
    std::map<std::string, std::string> texts;
    for (auto [file, schema] : all.files()) {
        const auto defined = all.definitions().find(file);
        if (defined != all.definitions().end()) schema["$defs"] = defined->second;
        texts[file] = printed(schema, 0, 0) + '\n';
    }
    return texts;
}

}  // namespace earbudget::guides
