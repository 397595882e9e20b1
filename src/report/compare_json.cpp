#include "report/assess_fields.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

namespace {

/// What is said of a person, or of a limit, in one of two plans.
struct PersonOnOneSide {
    const PersonResult& result;
};
struct CriterionOnOneSide {
    const CriterionResult& result;
};

template <class Side, class Result>
std::optional<Side> on_side(const Result* result) {
    return result ? std::optional(Side{*result}) : std::nullopt;
}

const CriterionResult& known_of(const CriterionChange& change) {
    return change.after ? *change.after : *change.before;
}

}  // namespace

template <>
FieldTable<SequenceChange> describe() {
    using Of = SequenceChange;
    return {{"id", &Of::id},
            {"seconds_before", &Of::before},
            {"seconds_after", &Of::after},
            {"LAeq_before_dB", &Of::LAeq_before},
            {"LAeq_after_dB", &Of::LAeq_after}};
}

template <>
FieldTable<PersonOnOneSide> describe() {
    using Of = PersonOnOneSide;
    return {"#/$defs/person",
            "null where the plan has not this person",
            {{"wears", [](const Of& of) { return of.result.person->wears; }},
             {"at_ear_LEX_8h_dB", [](const Of& of) { return of.result.exposure.at_ear_LEX_8h; }},
             {"verdict", [](const Of& of) { return of.result.verdict; }}}};
}

template <>
FieldTable<CriterionOnOneSide> describe() {
    using Of = CriterionOnOneSide;
    return {"#/$defs/criterion",
            "null where the plan does not judge by it",
            {{"value", [](const Of& of) { return of.result.value; }},
             {"margin_dB", [](const Of& of) { return of.result.margin; }},
             {"verdict", [](const Of& of) { return of.result.verdict; }}}};
}

template <>
FieldTable<CriterionChange> describe() {
    using Of = CriterionChange;
    return {{"id", [](const Of& of) { return known_of(of).criterion->id; }},
            {"quantity",
             [](const Of& of) { return known_of(of).quantity(); },
             {.names = names_of<ExposureQuantity>, .one_of = "peak"}},
            {"before", [](const Of& of) { return on_side<CriterionOnOneSide>(of.before); }},
            {"after", [](const Of& of) { return on_side<CriterionOnOneSide>(of.after); }}};
}

template <>
FieldTable<PersonChange> describe() {
    using Of = PersonChange;
    return {{"id", &Of::id},
            {"before", [](const Of& of) { return on_side<PersonOnOneSide>(of.before); }},
            {"after", [](const Of& of) { return on_side<PersonOnOneSide>(of.after); }},
            {"change_dB", &Of::change},
            {"criteria", &Of::criteria}};
}

template <>
FieldTable<Earlier> describe() {
    using Of = Earlier;
    return {"compare.schema.json",
            "The key against of earbudget assess --against: what changed since an earlier plan",
            {{"plan",
              [](const Of& of) {
                  return PlanFile{of.comparison.before->plan->title, of.file};
              }},
             {"session_seconds_before", [](const Of& of) { return of.comparison.session_before; }},
             {"session_seconds_after", [](const Of& of) { return of.comparison.session_after; }},
             {"sequences", [](const Of& of) { return of.comparison.sequences; }},
             {"people", [](const Of& of) { return of.comparison.people; }}}};
}

}  // namespace earbudget::report
