#include "overview/plan_answers.hpp"
#include "overview/shapes.hpp"
#include "report/cautions.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

using overview::EarlierAnswers;
using overview::EarlierPlan;
using overview::PersonAnswer;
using overview::PlanAnswer;
using overview::PlansReport;

namespace {

/// The tightest limit of a plan, and whose it is.
struct TightestOfPlan {
    const PersonAnswer& person;
};

/// What became of a plan, beside what it was.
struct ChangeOfPlan {
    overview::PlanChange state;
    const EarlierPlan* before;
};

/// What is known of the earlier answer.
struct SinceEarlier {
    const EarlierAnswers& earlier;
    std::vector<EarlierPlan> gone;
};

Only<ChangeOfPlan> change_in_json(const PlanAnswer& of, const Outer& in) {
    const auto& earlier = in.the<PlansReport>().earlier;
    return only_if(earlier.has_value(), [&] {
        const EarlierPlan* before = earlier->find(of.file.path);
        return ChangeOfPlan{overview::change_of(of, before), before};
    });
}

}  // namespace

template <>
FieldTable<TightestOfPlan> describe() {
    using Of = TightestOfPlan;
    const auto of_limit = [](auto member) {
        return [member](const Of& of) {
            return if_any(of.person.tightest,
                          [&](const overview::TightestLimit& limit) { return limit.*member; });
        };
    };
    using Limit = overview::TightestLimit;
    return {"#/$defs/tightest",
            "the limit that decides: of whom has the worst verdict, the one with least left",
            {{"person", [](const Of& of) { return of.person.id; }},
             {"criterion", of_limit(&Limit::criterion), "null: none is for the person's role"},
             {"quantity", of_limit(&Limit::quantity)},
             {"value",
              [](const Of& of) {
                  return of.person.tightest ? of.person.tightest->value : std::nullopt;
              }},
             {"limit", of_limit(&Limit::limit)},
             {"unit", of_limit(&Limit::unit)},
             {"at_ear", of_limit(&Limit::at_ear)},
             {"margin_dB",
              [](const Of& of) {
                  return of.person.tightest ? of.person.tightest->margin : std::nullopt;
              },
              "null without sound"},
             {"probability_over",
              [](const Of& of) {
                  return of.person.tightest ? of.person.tightest->probability_over : std::nullopt;
              },
              probability()}}};
}

template <>
FieldTable<ChangeOfPlan> describe() {
    using Of = ChangeOfPlan;
    return {"#/$defs/change",
            "since the earlier answer: verdict, or margin by more than 0.05 dB",
            {{"state", &Of::state},
             {"verdict_before",
              [](const Of& of) {
                  return of.before ? std::optional(of.before->verdict) : std::nullopt;
              }},
             {"margin_dB_before",
              [](const Of& of) { return of.before ? of.before->margin : std::nullopt; }}}};
}

template <>
FieldTable<EarlierPlan> describe() {
    using Of = EarlierPlan;
    return {{"file", &Of::file},
            {"title", &Of::title},
            {"verdict", &Of::verdict},
            {"margin_dB", &Of::margin}};
}

template <>
FieldTable<SinceEarlier> describe() {
    using Of = SinceEarlier;
    return {{members_of, [](const Of& of) { return of.earlier.file; }},
            {"gone", &Of::gone, "plans of the earlier answer that are not in this one"}};
}

template <>
FieldTable<PersonAnswer> describe() {
    using Of = PersonAnswer;
    return {{"id", &Of::id}, {"role", &Of::role}, {"verdict", &Of::verdict}};
}

template <>
FieldTable<PlanAnswer> describe() {
    using Of = PlanAnswer;
    return {"#/$defs/plan",
            {{members_of, [](const Of& of) { return of.file; }},
             {"title", &Of::title},
             {"kind", &Of::kind, {.one_of = "plan study"}},
             {"verdict", &Of::verdict},
             {"tightest",
              [](const Of& of) {
                  const PersonAnswer* person = of.decided_by();
                  return person ? std::optional(TightestOfPlan{*person}) : std::nullopt;
              }},
             {"people", &Of::people},
             {"change", change_in_json, "with --since"}}};
}

template <>
FieldTable<PlansReport> describe() {
    using Of = PlansReport;
    return {"assess-plans.schema.json",
            "earbudget assess PATH... --format json: many plans, each in short",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("assess"),
             {"verdict", [](const Of& of) { return of.verdict(); }, "the worst of all plans"},
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return of.record.draws.value(); }},
             {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
             {"sources", &Of::rules},
             {"files_left_out", &Of::left_out, "of folders, that are neither plans nor studies"},
             {"since",
              [](const Of& of) {
                  return only_if(of.earlier.has_value(), [&] {
                      return SinceEarlier{*of.earlier, of.gone()};
                  });
              },
              "with --since: the earlier answer"},
             {"plans", &Of::plans, {.filled = true}},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

const ObjectShape& plans_shape() { return object_shape<PlansReport>(); }

}  // namespace earbudget::report

namespace earbudget::overview {

std::string plans_json(const PlansReport& report) { return report::json_of(report); }

}  // namespace earbudget::overview
