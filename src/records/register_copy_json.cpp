#include <nlohmann/json.hpp>

#include "records/register_copy.hpp"
#include "report/cautions.hpp"
#include "report/fields.hpp"

namespace earbudget::records {

namespace {

/// JSON that was recorded, as it is.
struct StoredJson {
    std::string text;
};

using Json = nlohmann::ordered_json;

void write_stored(const Json& value, report::JsonText& to) {
    if (value.is_object()) {
        to.open_object();
        for (const auto& [key, member] : value.items()) {
            to.key(key);
            write_stored(member, to);
        }
        to.close_object();
    } else if (value.is_array()) {
        to.open_list();
        for (const Json& member : value)
            write_stored(member, to);
        to.close_list();
    } else if (value.is_string()) {
        to.text(value.get_ref<const std::string&>());
    } else if (value.is_boolean()) {
        to.boolean(value.get<bool>());
    } else if (value.is_number_unsigned()) {
        to.natural(value.get<std::uint64_t>());
    } else if (value.is_number_integer()) {
        to.integer(value.get<std::int64_t>());
    } else if (value.is_number()) {
        to.number(value.get<double>());
    } else {
        to.null();
    }
}

}  // namespace

}  // namespace earbudget::records

namespace earbudget::report {

template <>
struct InJson<records::StoredJson> {
    static void write(const records::StoredJson& stored, const Note& /*note*/, JsonText& to) {
        const auto value = records::Json::parse(stored.text, nullptr, false);
        records::write_stored(value.is_object() ? value : records::Json::object(), to);
    }
    static Shape shape() {
        Shape any = or_null({.kind = Shape::Kind::AnyOf});
        for (const auto kind : {Shape::Kind::Boolean, Shape::Kind::Number, Shape::Kind::Text,
                                Shape::Kind::List, Shape::Kind::Map})
            any.parts.push_back({.kind = kind});
        return {.kind = Shape::Kind::Map, .parts = {any}};
    }
};

template <>
FieldTable<registers::Entry> describe() {
    using Of = registers::Entry;
    return {{"entry", &Of::n},
            {"kind",
             [](const Of& of) { return std::string(registers::entry_kinds[of.kind].name); },
             {.names =
                  [] {
                      const auto names = registers::entry_kinds.names();
                      return std::vector<std::string>(names.begin(), names.end());
                  }}},
            {"as", &Of::as},
            {"by", &Of::by, "the code of who recorded it"},
            {"session", &Of::session},
            {"recorded",
             [](const Of& of) {
                 return StatedInstant{of.recorded, 0};
             },
             "the clock's time when it was recorded"},
            {"from",
             [](const Of& of) {
                 return StatedInstant{of.from, of.offset_minutes};
             }},
            {"to",
             [](const Of& of) {
                 return StatedInstant{of.to, of.offset_minutes};
             }},
            {"corrects", &Of::corrects, "the entry in whose place it stands"},
            {"body", [](const Of& of) { return records::StoredJson{of.body}; },
             "what was recorded, as it was; its keys are told in docs/register.md"}};
}

template <>
FieldTable<records::CopyReport> describe() {
    using Of = records::CopyReport;
    return {"register-export.schema.json",
            "earbudget register export --format json: all that is recorded of one person",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("register"),
             {members_of,
              [](const Of& of) {
                  return records::AnswerBegin{"export", of.file, of.record};
              }},
             {"codes", [](const Of& of) { return of.copy.codes; }, "all of the person"},
             {"entries", [](const Of& of) { return of.copy.entries; }, "in order"},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::records {

std::string copy_json(const CopyReport& report) { return report::json_of(report); }

const report::ObjectShape& copy_shape() { return report::object_shape<CopyReport>(); }

}  // namespace earbudget::records
