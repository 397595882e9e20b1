#include <initializer_list>

#include <nlohmann/json.hpp>

#include "report/csv_table.hpp"
#include "report/text_style.hpp"

namespace earbudget::report {

namespace {

using OrderedJson = nlohmann::ordered_json;
using CsvRow = std::vector<CsvCell>;

/// A member, or that of a member; null where there is none.
const OrderedJson& member_of(const OrderedJson& object, std::string_view name) {
    static const OrderedJson none;
    if (!object.is_object()) return none;
    const auto found = object.find(name);
    return found == object.end() ? none : *found;
}

/// Lists of ids as "plug + muff", of sentences apart by " | ".
CsvCell csv_cell(const OrderedJson& value, std::string_view between = " + ") {
    if (value.is_boolean()) return value.get<bool>();
    if (value.is_number()) return value.get<double>();
    if (value.is_string()) return value.get<std::string>();
    if (!value.is_array()) return {};
    std::vector<std::string> texts;
    for (const OrderedJson& one : value)
        if (one.is_string()) texts.push_back(one.get<std::string>());
    return joined(texts, between);
}

/// What is worn; nothing is said in that word.
CsvCell worn_cell(const OrderedJson& worn) {
    return worn.is_array() && worn.empty() ? CsvCell(std::string("nothing")) : csv_cell(worn);
}

void add_cells(const OrderedJson& object, std::initializer_list<std::string_view> names,
               CsvRow& row) {
    for (const std::string_view name : names)
        row.push_back(csv_cell(member_of(object, name)));
}

/// What is left to a limit; nothing where it is made for others.
void add_left(const OrderedJson& object, std::string_view margin, CsvRow& row) {
    if (!object.empty() && member_of(object, "made_for_others") == true) {
        row.insert(row.end(), 2, CsvCell());
    } else {
        add_cells(object, {margin, "probability_over"}, row);
    }
}

CsvCell examples_cell(const OrderedJson& report) { return !member_of(report, "examples").empty(); }

/// Each, or one that holds nothing where there is none, so that who has none is not left out.
const OrderedJson& each_or_one(const OrderedJson& list) {
    static const OrderedJson one_without = OrderedJson::array({OrderedJson::object()});
    return list.empty() ? one_without : list;
}

}  // namespace

std::string assess_csv(std::string_view json) {
    const OrderedJson report = OrderedJson::parse(json);
    std::vector<CsvRow> rows;
    for (const OrderedJson& person : member_of(report, "people")) {
        for (const OrderedJson& criterion : each_or_one(member_of(person, "criteria"))) {
            CsvRow row;
            add_cells(person, {"id", "role"}, row);
            row.push_back(worn_cell(member_of(person, "wears")));
            add_cells(person, {"method", "derating", "verdict"}, row);
            add_cells(criterion,
                      {"id", "quantity", "at_ear", "value", "limit", "unit"}, row);
            add_left(criterion, "margin_dB", row);
            add_cells(criterion, {"verdict", "kind", "decides"}, row);
            add_cells(member_of(person, "exposure"),
                      {"seconds", "LAeq_dB", "at_ear_LAeq_dB", "LEX_8h_dB", "at_ear_LEX_8h_dB"},
                      row);
            row.push_back(examples_cell(report));
            rows.push_back(std::move(row));
        }
    }
    return csv_table(
        {"person",         "role",      "wears",          "method",           "derating",
         "person_verdict", "criterion", "quantity",       "at_ear",           "value",
         "limit",          "unit",      "margin_dB",      "probability_over", "verdict",
         "kind",           "decides",   "exposure_s",     "LAeq_dB",          "at_ear_LAeq_dB",
         "LEX_8h_dB",      "at_ear_LEX_8h_dB", "examples"},
        rows);
}

std::string choose_csv(std::string_view json) {
    const OrderedJson report = OrderedJson::parse(json);
    std::vector<CsvRow> rows;
    for (const OrderedJson& person : member_of(report, "people")) {
        double rank = 0.0;
        for (const OrderedJson& ranked : each_or_one(member_of(person, "ranking"))) {
            CsvRow row;
            add_cells(person, {"id"}, row);
            row.push_back(ranked.empty() ? CsvCell() : CsvCell(++rank));
            row.push_back(worn_cell(member_of(ranked, "wears")));
            add_cells(ranked,
                      {"method", "at_ear_LEX_8h_dB", "while_scanning_at_ear_LAeq_dB"}, row);
            add_left(ranked, "worst_margin_dB", row);
            add_cells(ranked,
                      {"verdict", "verdict_poorly_seated", "more_than_useful", "fits_head_coil",
                       "stated_metal_free"},
                      row);
            row.push_back(csv_cell(member_of(ranked, "notes"), " | "));
            row.push_back(examples_cell(report));
            rows.push_back(std::move(row));
        }
    }
    return csv_table(
        {"person", "rank", "wears", "method", "at_ear_LEX_8h_dB", "while_scanning_at_ear_LAeq_dB",
         "worst_margin_dB", "probability_over", "verdict", "verdict_poorly_seated",
         "more_than_useful", "fits_head_coil", "stated_metal_free", "notes", "examples"},
        rows);
}

std::string review_csv(std::string_view json) {
    const OrderedJson report = OrderedJson::parse(json);
    std::vector<CsvRow> rows;
    for (const OrderedJson& sequence : member_of(report, "sequences")) {
        for (const OrderedJson& permitted : each_or_one(member_of(sequence, "permitted"))) {
            CsvRow row;
            add_cells(sequence, {"id", "title"}, row);
            add_cells(member_of(sequence, "levels"), {"LAeq_dB", "LCeq_dB", "LCpeak_dB"}, row);
            row.push_back(worn_cell(member_of(permitted, "wears")));
            add_cells(permitted,
                      {"criterion", "decides", "state", "seconds_per_day", "confident_state",
                       "confident_seconds_per_day", "reason"},
                      row);
            row.push_back(examples_cell(report));
            rows.push_back(std::move(row));
        }
    }
    return csv_table({"sequence", "title", "LAeq_dB", "LCeq_dB", "LCpeak_dB", "wears", "criterion",
                      "decides", "state", "permitted_s_per_day", "confident_state",
                      "confident_s_per_day", "reason", "examples"},
                     rows);
}

namespace {

void add_ratings(const OrderedJson& report, const OrderedJson& worn, std::string_view kind,
                 std::vector<CsvRow>& rows) {
    const auto& stated = member_of(worn, "stated");
    const auto& computed = member_of(worn, "computed");
    for (const auto& [rating, value] : stated.items()) {
        const OrderedJson& by_octaves = member_of(computed, rating);
        if (value.is_null() && by_octaves.is_null()) continue;
        OrderedJson difference;
        for (const OrderedJson& one : member_of(worn, "differences"))
            if (member_of(one, "rating") == rating) difference = one;
        CsvRow row = {std::string(kind)};
        row.push_back(csv_cell(member_of(worn, kind == "pair" ? "protectors" : "id")));
        add_cells(worn, {"title"}, row);
        row.emplace_back(rating);
        row.push_back(csv_cell(value));
        row.push_back(csv_cell(by_octaves));
        row.push_back(csv_cell(member_of(member_of(worn, "computed_1994"), rating)));
        add_cells(difference, {"difference_dB", "agrees"}, row);
        row.push_back(examples_cell(report));
        rows.push_back(std::move(row));
    }
}

}  // namespace

std::string ratings_csv(std::string_view json) {
    const OrderedJson report = OrderedJson::parse(json);
    std::vector<CsvRow> rows;
    for (const OrderedJson& protector : member_of(report, "protectors"))
        add_ratings(report, protector, "protector", rows);
    for (const OrderedJson& pair : member_of(report, "pairs"))
        add_ratings(report, pair, "pair", rows);
    return csv_table({"kind", "id", "title", "rating", "stated_dB", "computed_dB",
                      "computed_1994_dB", "difference_dB", "agrees", "examples"},
                     rows);
}

std::string cards_csv(std::string_view json) {
    const OrderedJson report = OrderedJson::parse(json);
    std::vector<CsvRow> rows;
    for (const OrderedJson& card : each_or_one(member_of(report, "cards"))) {
        CsvRow row;
        add_cells(card,
                  {"id", "title", "file", "LAeq_dB", "how", "date", "age_days", "valid_until",
                   "state"},
                  row);
        const auto add_list = [&](std::string_view name) {
            row.push_back(csv_cell(member_of(card, name), " | "));
        };
        add_list("superseded_by");
        add_cells(card, {"scanner", "software", "coil"}, row);
        add_list("used_by");
        add_list("missing");
        row.push_back(examples_cell(report));
        rows.push_back(std::move(row));
    }
    return csv_table({"id", "title", "file", "LAeq_dB", "how", "date", "age_days", "valid_until",
                      "state", "superseded_by", "scanner", "software", "coil", "used_by",
                      "missing", "examples"},
                     rows);
}

}  // namespace earbudget::report
