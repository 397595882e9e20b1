#include <nlohmann/json.hpp>

#include "report/words/words.hpp"
#include "report/working_report.hpp"

namespace earbudget::report {

namespace {

using Json = nlohmann::ordered_json;

Json value_json(const WorkingValue& value) {
    if (const auto* number = std::get_if<double>(&value)) return *number;
    if (const auto* word = std::get_if<std::string>(&value)) return *word;
    return nullptr;
}

Json rows_json(const WorkingStep& step) {
    Json rows = Json::array();
    for (const auto& cells : step.rows) {
        Json row = Json::object();
        for (std::size_t n = 0; n < cells.size(); ++n)
            row[step.columns[n]] = value_json(cells[n]);
        rows.push_back(std::move(row));
    }
    return rows;
}

}  // namespace

Json working_json(const Working& working) {
    Json json = Json::array();
    for (const WorkingStep& step : working) {
        Json values = Json::object();
        for (const NamedValue& value : step.values)
            values[value.name] = value_json(value.value);
        if (!step.columns.empty()) values["rows"] = rows_json(step);
        json.push_back({{"what", what_of(step)},
                        {"of", step.of},
                        {"formula", step.formula},
                        {"source", step.source},
                        {"values", std::move(values)},
                        {"result", value_json(step.result)},
                        {"unit", step.unit}});
    }
    return json;
}

}  // namespace earbudget::report
