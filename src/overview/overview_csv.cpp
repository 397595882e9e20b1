#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "overview/plan_answers.hpp"
#include "overview/study_answers.hpp"
#include "report/csv_table.hpp"

namespace earbudget::overview {

namespace {

using report::CsvCell;
using TableRow = std::vector<CsvCell>;

CsvCell number_cell(const std::optional<double>& value) {
    return value ? CsvCell(*value) : CsvCell();
}

CsvCell margin_cell(const std::optional<LevelDifference>& margin) {
    return margin ? CsvCell(margin->dB()) : CsvCell();
}

std::string word_of(Verdict verdict) { return std::string(earbudget::name_of(verdict)); }

void add_tightest(const std::optional<TightestLimit>& limit, TableRow& row) {
    if (!limit) {
        row.insert(row.end(), 8, CsvCell());
        return;
    }
    row.insert(row.end(), {limit->criterion, limit->quantity, limit->at_ear,
                           number_cell(limit->value), limit->limit, limit->unit,
                           margin_cell(limit->margin), number_cell(limit->probability_over)});
}

/// One row of somebody's limit on a day or on a week.
TableRow limit_row(const PersonOfStudy& person, const std::string& when,
                   const CriterionResult& result, bool examples) {
    const Role role = person.visits.front().day->person->role;
    TableRow row = {person.id, std::string(earbudget::name_of(role)), word_of(person.verdict),
                    when};
    add_tightest(in_short(result), row);
    row.insert(row.end(), {word_of(result.verdict), examples});
    return row;
}

}  // namespace

std::string plans_csv(const PlansReport& report) {
    std::vector<TableRow> rows;
    const bool examples = !report.record.examples.empty();
    for (const PlanAnswer& plan : report.plans) {
        const PersonAnswer* person = plan.decided_by();
        TableRow row = {plan.file.path, plan.title, plan.kind, word_of(plan.verdict),
                        person ? CsvCell(person->id) : CsvCell()};
        add_tightest(person ? person->tightest : std::nullopt, row);
        const EarlierPlan* before = report.earlier ? report.earlier->find(plan.file.path) : nullptr;
        row.push_back(report.earlier ? CsvCell(std::string(name_of(change_of(plan, before))))
                                     : CsvCell());
        row.push_back(before ? CsvCell(word_of(before->verdict)) : CsvCell());
        row.push_back(before ? margin_cell(before->margin) : CsvCell());
        row.push_back(examples);
        rows.push_back(std::move(row));
    }
    for (const EarlierPlan& gone : report.gone()) {
        TableRow row = {gone.file, gone.title};
        row.insert(row.end(), 11, CsvCell());
        row.insert(row.end(), {std::string("gone"), word_of(gone.verdict), margin_cell(gone.margin),
                               examples});
        rows.push_back(std::move(row));
    }
    return report::csv_table({"file", "title", "kind", "verdict", "person", "criterion", "quantity",
                              "at_ear", "value", "limit", "unit", "margin_dB", "probability_over",
                              "change", "verdict_before", "margin_dB_before", "examples"},
                             rows);
}

std::string study_csv(const StudyReport& report) {
    std::vector<TableRow> rows;
    const bool examples = !report.record.examples.empty();
    for (const PersonOfStudy& person : report.assessment->people) {
        for (const PersonAtVisit& at : person.visits)
            for (const CriterionResult* limit : at.limits)
                rows.push_back(
                    limit_row(person, fmt::format("visit {}", at.visit + 1), *limit, examples));
        for (const WeekResult& week : person.week)
            rows.push_back(limit_row(person, "heaviest week", week.result, examples));
    }
    return report::csv_table(
        {"person", "role", "person_verdict", "when", "criterion", "quantity", "at_ear", "value",
         "limit", "unit", "margin_dB", "probability_over", "verdict", "examples"},
        rows);
}

}  // namespace earbudget::overview
