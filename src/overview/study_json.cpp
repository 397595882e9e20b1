#include <optional>

#include "overview/shapes.hpp"
#include "overview/study_answers.hpp"
#include "report/assess_fields.hpp"
#include "report/cautions.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

using overview::PersonAnswer;
using overview::StudyReport;

namespace {

/// A visit with its place in the study, from 1.
struct NumberedVisit {
    const StudyReport& report;
    std::size_t index;
};

/// How often a visit falls into a week.
struct VisitInWeek {
    std::size_t index;
    unsigned times;
};

/// Whose limit decides a study, by how much.
struct TightestOfStudy {
    std::string person;
    std::optional<overview::TightestLimit> limit;
};

struct WarningAtVisit {
    std::size_t index;
    const Warning& warning;
};

const Visit& visit_of(const NumberedVisit& of) { return of.report.study().visits[of.index]; }

std::optional<TightestOfStudy> tightest_in(const StudyReport& of) {
    const auto answer = overview::answer_to(*of.assessment, of.file);
    const PersonAnswer* person = answer.decided_by();
    return person ? std::optional(TightestOfStudy{person->id, person->tightest}) : std::nullopt;
}

Verdict verdict_at(const NumberedVisit& of) {
    Verdict worst = Verdict::Within;
    for (const PersonOfStudy& person : of.report.assessment->people)
        for (const PersonAtVisit& at : person.visits)
            if (at.visit == of.index && at.verdict) worst = std::max(worst, *at.verdict);
    return worst;
}

std::vector<std::size_t> numbers_of_visits(const std::vector<std::size_t>& visits) {
    return each_of(visits, [](std::size_t visit) { return visit + 1; });
}

}  // namespace

template <>
FieldTable<NumberedVisit> describe() {
    using Of = NumberedVisit;
    return {"#/$defs/visit",
            {{"visit", [](const Of& of) { return of.index + 1; }, "its number, from 1"},
             {"title", [](const Of& of) { return visit_of(of).title; }},
             {"times", [](const Of& of) { return visit_of(of).times; }},
             {"days_apart", [](const Of& of) { return visit_of(of).days_apart; }, "at least"},
             {"verdict", verdict_at, "the worst of all people by the limits on a day"},
             {"plan", [](const Of& of) {
                  return PlanFile{visit_of(of).plan.title, of.report.plans[of.index]};
              }}}};
}

template <>
FieldTable<VisitInWeek> describe() {
    return {{"visit", [](const VisitInWeek& of) { return of.index + 1; }},
            {"times", &VisitInWeek::times}};
}

template <>
FieldTable<PersonAtVisit> describe() {
    using Of = PersonAtVisit;
    return {"#/$defs/person_at_visit",
            {{"visit", [](const Of& of) { return of.visit + 1; }},
             {"role", [](const Of& of) { return of.day->person->role; }},
             {"wears", [](const Of& of) { return of.day->person->wears; }},
             {"method", [](const Of& of) { return of.day->method; }},
             {"verdict", &Of::verdict, "by the limits on a day; null where none is"},
             {"exposure", [](const Of& of) { return of.day->exposure; }},
             {"criteria", [](const Of& of) {
                  return each_of(of.limits, [](const CriterionResult* limit) { return *limit; });
              }}}};
}

template <>
FieldTable<WeekResult> describe() {
    using Of = WeekResult;
    return {"#/$defs/week",
            "a limit on a week, by the worst 7 days in a row that the least spacing permits",
            {{members_of, &Of::result}, {"visits", [](const Of& of) {
                                             std::vector<VisitInWeek> all;
                                             for (std::size_t n = 0; n < of.week.size(); ++n)
                                                 if (of.week[n] > 0) all.push_back({n, of.week[n]});
                                             return all;
                                         }}}};
}

template <>
FieldTable<StudyTotal> describe() {
    using Of = StudyTotal;
    return {"#/$defs/total",
            "all visits together, by the best estimate",
            {{"days", &Of::days},
             {"sessions", &Of::sessions},
             {"scanning_seconds", &Of::scanning, "with a sequence running"},
             {"seconds", &Of::time},
             {"at_ear_Pa2h", &Of::at_ear_Pa2h, at_least(0.0)},
             {"outside_Pa2h", &Of::outside_Pa2h, at_least(0.0)},
             {"niosh_rel_percent", &Of::niosh_percent,
              "daily doses at the ear added up, for information: no published limit is known",
              at_least(0.0)}}};
}

template <>
FieldTable<PersonOfStudy> describe() {
    using Of = PersonOfStudy;
    return {"#/$defs/person",
            {{"id", &Of::id},
             {"verdict", &Of::verdict, "the worst of all days and weeks"},
             {"visits", &Of::visits},
             {"missing_in", [](const Of& of) { return numbers_of_visits(of.missing); },
              "numbers of visits whose plans have nobody of this id"},
             {"week", &Of::week},
             {"total", &Of::total},
             {"days_per_week_not_used", &Of::days_per_week_stated,
              "stated in plans; the spacing of the visits counts"},
             {"visits_not_used", &Of::visits_stated, "stated in plans; those of the study count"}}};
}

template <>
FieldTable<TightestOfStudy> describe() {
    using Of = TightestOfStudy;
    return {{"person", &Of::person},
            {"criterion",
             [](const Of& of) {
                 return if_any(of.limit, [](const auto& limit) { return limit.criterion; });
             }},
            {"quantity",
             [](const Of& of) {
                 return if_any(of.limit, [](const auto& limit) { return limit.quantity; });
             }},
            {"margin_dB", [](const Of& of) { return of.limit ? of.limit->margin : std::nullopt; }}};
}

template <>
FieldTable<WarningAtVisit> describe() {
    using Of = WarningAtVisit;
    return {{"visit", [](const Of& of) { return of.index + 1; }},
            {members_of, [](const Of& of) -> const Warning& { return of.warning; }}};
}

template <>
FieldTable<StudyReport> describe() {
    using Of = StudyReport;
    FieldTable<Of> table(
        "assess-study.schema.json",
        "earbudget assess STUDY --format json: everyone's exposure over visits that differ", {});
    table.add({{members_of, [](const Of&) { return Program{}; }},
               command<Of>("assess"),
               {"study",
                [](const Of& of) {
                    return PlanFile{of.study().title, of.file};
                }},
               {"verdict", [](const Of& of) { return of.assessment->verdict(); }},
               {"tightest", tightest_in, "the limit that decides"},
               {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
               {members_of, [](const Of& of) { return of.record.draws.value(); }},
               {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
               {"sources", [](const Of& of) { return of.rules(); }}});
    table.add({{"visits",
                [](const Of& of) {
                    std::vector<NumberedVisit> all;
                    for (std::size_t n = 0; n < of.study().visits.size(); ++n)
                        all.push_back({of, n});
                    return all;
                },
                {.filled = true}},
               {"people", [](const Of& of) { return of.assessment->people; }},
               {"warnings",
                [](const Of& of) {
                    return each_of(of.warnings, [](const auto& one) {
                        return WarningAtVisit{one.first, one.second};
                    });
                }},
               {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}});
    return table;
}

const ObjectShape& study_shape() { return object_shape<StudyReport>(); }

}  // namespace earbudget::report

namespace earbudget::overview {

std::string study_json(const StudyReport& report) { return report::json_of(report); }

}  // namespace earbudget::overview
