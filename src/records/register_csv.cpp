#include <initializer_list>

#include <nlohmann/json.hpp>

#include "records/register_totals.hpp"
#include "report/csv_table.hpp"
#include "report/text_style.hpp"

namespace earbudget::records {

namespace {

using OrderedJson = nlohmann::ordered_json;
using CsvRow = std::vector<report::CsvCell>;

const OrderedJson& member(const OrderedJson& object, std::string_view name) {
    static const OrderedJson none;
    if (!object.is_object()) return none;
    const auto found = object.find(name);
    return found == object.end() ? none : *found;
}

report::CsvCell cell(const OrderedJson& value) {
    if (value.is_boolean()) return value.get<bool>();
    if (value.is_number()) return value.get<double>();
    if (value.is_string()) return value.get<std::string>();
    return {};
}

void add(const OrderedJson& object, std::initializer_list<std::string_view> names, CsvRow& row) {
    for (const std::string_view name : names)
        row.push_back(cell(member(object, name)));
}

/// "17, 18 to 25", as a text that no spreadsheet takes for a number.
std::string entries_cell(const OrderedJson& numbers) {
    std::vector<std::int64_t> all;
    for (const OrderedJson& one : numbers)
        all.push_back(one.get<std::int64_t>());
    return entries_words(all);
}

void add_rows(const OrderedJson& person, const OrderedJson& of, std::string_view period,
              std::vector<CsvRow>& rows) {
    static const OrderedJson one_without = OrderedJson::array({OrderedJson::object()});
    const OrderedJson& criteria = member(of, "criteria");
    for (const OrderedJson& criterion : criteria.empty() ? one_without : criteria) {
        CsvRow row;
        add(person, {"as", "role"}, row);
        row.emplace_back(std::string(period));
        const bool is_day = period == "day";
        add(of, {is_day ? "date" : "from", is_day ? "date" : "to", "verdict"}, row);
        add(of, {"seconds", "LEX_8h_dB", "at_ear_LEX_8h_dB"}, row);
        add(criterion, {"id", "quantity", "at_ear", "value", "limit", "unit"}, row);
        const bool for_others = member(criterion, "made_for_others") == true;
        if (for_others) {
            row.insert(row.end(), 2, report::CsvCell());
        } else {
            add(criterion, {"margin_dB", "probability_over"}, row);
        }
        add(criterion, {"verdict", "kind", "decides"}, row);
        row.emplace_back(member(of, "lower_bound") == true);
        row.emplace_back(entries_cell(member(of, "entries")));
        rows.push_back(std::move(row));
    }
}

}  // namespace

std::string totals_csv(std::string_view json) {
    const OrderedJson report = OrderedJson::parse(json);
    std::vector<CsvRow> rows;
    for (const OrderedJson& person : member(report, "people")) {
        for (const OrderedJson& day : member(person, "days"))
            add_rows(person, day, "day", rows);
        for (const OrderedJson& week : member(person, "weeks"))
            add_rows(person, week, "week", rows);
    }
    const std::string head = member(member(report, "register"), "head").get<std::string>();
    for (CsvRow& row : rows)
        row.emplace_back(head);
    return report::csv_table({"as",
                              "role",
                              "period",
                              "from",
                              "to",
                              "period_verdict",
                              "seconds",
                              "LEX_8h_dB",
                              "at_ear_LEX_8h_dB",
                              "criterion",
                              "quantity",
                              "at_ear",
                              "value",
                              "limit",
                              "unit",
                              "margin_dB",
                              "probability_over",
                              "verdict",
                              "kind",
                              "decides",
                              "lower_bound",
                              "entries",
                              "head"},
                             rows);
}

}  // namespace earbudget::records
