#include <nlohmann/json.hpp>

#include "report/json_text.hpp"
#include "report/ratings_cautions.hpp"
#include "report/ratings_report.hpp"
#include "report/version.hpp"
#include "report/words/words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

template <class List>
void add_ratings(Json& json, const Ratings& ratings, const List& names) {
    for (const RatingRow& rating : names) {
        const auto& value = ratings.*rating.value;
        json[std::string(rating.name)] = value ? Json(value->dB()) : Json(nullptr);
    }
}

Json computed_json(const Ratings& ratings) {
    Json json = Json::object();
    add_ratings(json, ratings, ratings_from_octaves);
    return json;
}

Json computed_1994_json(const Ratings& ratings) {
    Json json = Json::object();
    add_ratings(json, ratings, ratings_of_editions);
    return json;
}

Json stated_json(const Ratings& ratings) {
    Json json = computed_json(ratings);
    add_ratings(json, ratings, ratings_as_stated);
    return json;
}

Json difference_json(const RatingComparison& comparison) {
    return {{"rating", comparison.rating},          {"stated", comparison.stated.dB()},
            {"computed", comparison.computed.dB()}, {"difference_dB", comparison.difference().dB()},
            {"agrees", comparison.agrees()},        {"apart", comparison.is_apart()}};
}

void add_check(Json& json, const CheckedRatings& checked, bool with_working) {
    json["title"] = checked.title;
    json["where"] = checked.stated_at.text();
    json["computed"] = computed_json(checked.computed);
    json["computed_unrounded"] = computed_json(checked.computed_unrounded);
    json["computed_1994"] = computed_1994_json(checked.computed_1994);
    json["computed_1994_unrounded"] = computed_1994_json(checked.computed_1994_unrounded);
    json["stated"] = stated_json(checked.stated);
    json["differences"] = Json::array();
    for (const RatingComparison& comparison : checked.comparisons) {
        json["differences"].push_back(difference_json(comparison));
    }
    json["notes"] = Json::array();
    for (const CatalogueNote& note : checked.notes) {
        json["notes"].push_back({{"code", note.code()}, {"text", text_of(note.says)}});
    }
    if (with_working) json["working"] = working_json(checked.working);
}

}  // namespace

std::string ratings_json(const RatingsCheck& check, const Record& record) {
    const SourceFile& catalogue_file = record.inputs.front();
    Json json = {{"program", "earbudget"},
                 {"version", program_version()},
                 {"command", "ratings"},
                 {"catalogue", {{"file", catalogue_file.path}, {"sha256", catalogue_file.sha256}}}};
    add_record(json, record, rules_of_ratings());
    json["protectors"] = Json::array();
    for (const CheckedRatings& checked : check.protectors) {
        Json one = {{"id", checked.ids.front()}};
        add_check(one, checked, record.with_working);
        json["protectors"].push_back(std::move(one));
    }
    json["pairs"] = Json::array();
    for (const CheckedRatings& checked : check.pairs) {
        Json one = {{"protectors", checked.ids}};
        add_check(one, checked, record.with_working);
        json["pairs"].push_back(std::move(one));
    }
    json["cautions"] = ratings_cautions;
    return json_text(std::move(json));
}

}  // namespace earbudget::report
