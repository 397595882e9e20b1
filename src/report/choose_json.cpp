#include "report/cautions.hpp"
#include "report/reports.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

namespace {

struct ChooseReport {
    const Plan& plan;
    const std::vector<PersonChoice>& choices;
    const Record& record;
};

/// With nothing worn.
struct UnprotectedInChoose {
    const RankedChoice& choice;
};

Only<Working> working_in(const Outer& in, const auto& whole) {
    const Record& record = in.the<ChooseReport>().record;
    return only_if(record.with_working, [&] {
        return asked_working(record, {in.the<PersonChoice>().person->id}, whole);
    });
}

Only<Working> working_of_ranked(const RankedChoice& choice, const Outer& in) {
    return working_in(in, choice.working);
}

Only<Working> working_of_required(const PersonChoice& choice, const Outer& in) {
    return choice.required ? working_in(in, choice.required->working) : Only<Working>{};
}

}  // namespace

template <>
FieldTable<RequiredByType> describe() {
    using Of = RequiredByType;
    return {{"type", &Of::type},
            {"SNR_dB", &Of::SNR, rounded_to(1)},
            {"NRR_dB", &Of::NRR, rounded_to(1)},
            {"every_octave_band_dB", &Of::every_band, rounded_to(1)}};
}

template <>
FieldTable<RequiredReduction> describe() {
    using Of = RequiredReduction;
    return {"#/$defs/required",
            "where nothing keeps every limit: what would",
            {{"at_ear_dB", &Of::at_ear, rounded_to(1)},
             {"confident_at_ear_dB", &Of::confident_at_ear, rounded_to(1)},
             {"peak_at_ear_dB", &Of::peak_at_ear,
              "of the C-weighted peak, as M - Ks or L - Ks - 5 dB", rounded_to(1)},
             {"SNR_dB", &Of::SNR, rounded_to(1)},
             {"NRR_dB", &Of::NRR, rounded_to(1)},
             {"every_octave_band_dB", &Of::every_band, rounded_to(1)},
             {"by_type", &Of::by_type}}};
}

template <>
FieldTable<RankedChoice> describe() {
    using Of = RankedChoice;
    return {
        "#/$defs/ranked",
        {{"wears", &Of::wears},
         {"method", &Of::method},
         {"at_ear_LEX_8h_dB", &Of::at_ear_LEX_8h},
         {"while_scanning_at_ear_LAeq_dB", &Of::while_scanning},
         {"worst_margin_dB", &Of::worst_margin,
          "of the tightest of all limits, also of those that nothing worn changes: that of assess"},
         {"margin_by_wearing_dB", &Of::margin_by_wearing,
          "the least of the limits that what is worn changes"},
         {"probability_over", &Of::probability_over, probability()},
         {"probability_by_bound",
          [](const Of& of) { return of.probability_over.has_value() && of.draws == 0; },
          "whether a bound, not draws, says that the probability is below 0.0005"},
         {"verdict", &Of::verdict_by_all, "by all limits that decide: that of assess"},
         {"verdict_by_wearing", &Of::verdict, "by those that what is worn changes; the ranking's"},
         {"limited_by_origin",
          [](const Of& of) {
              return only_if(of.all_limited_by_origin, [] { return std::true_type(); });
          },
          "close for no other reason than that levels are guessed, declared or predicted; absent "
          "elsewhere"},
         {"made_for_others",
          [](const Of& of) {
              return only_if(of.made_for_others, [] { return std::true_type(); });
          },
          "of an age for which no limit is known: the limits are made for others, so that margin "
          "and probability decide nothing; absent elsewhere"},
         {"peak_at_ear_verdict", &Of::peak_at_ear,
          "by the limits on the peak at the ear, part of verdict_by_wearing; null where none "
          "counts"},
         {"verdict_poorly_seated", &Of::with_poor_fit},
         {"more_than_useful", &Of::more_than_useful},
         {"fits_head_coil", &Of::fits_head_coil},
         {"stated_metal_free", &Of::stated_metal_free},
         {"comfortable", &Of::comfortable},
         {"intercom_above_residual_dB",
          [](const Of& of) { return of.intercom ? of.intercom->above_residual() : std::nullopt; }},
         {"methods", [](const Of& of) { return EveryMethod{of.methods}; }},
         {"reason", &Of::reason},
         {"notes", &Of::notes},
         {"working", working_of_ranked, means_working}}};
}

template <>
FieldTable<UnprotectedInChoose> describe() {
    using Of = UnprotectedInChoose;
    return {
        "#/$defs/unprotected",
        {{"at_ear_LEX_8h_dB", [](const Of& of) { return of.choice.at_ear_LEX_8h; }},
         {"while_scanning_LAeq_dB", [](const Of& of) { return of.choice.while_scanning; }},
         {"worst_margin_dB", [](const Of& of) { return of.choice.worst_margin; }},
         {"margin_by_wearing_dB", [](const Of& of) { return of.choice.margin_by_wearing; }},
         {"probability_over", [](const Of& of) { return of.choice.probability_over; },
          probability()},
         {"verdict", [](const Of& of) { return of.choice.verdict_by_all; }},
         {"verdict_by_wearing", [](const Of& of) { return of.choice.verdict; }},
         {"working", [](const Of& of, const Outer& in) { return working_of_ranked(of.choice, in); },
          means_working}}};
}

template <>
FieldTable<NotPermitted> describe() {
    return {{"wears", &NotPermitted::wears}, {"why", &NotPermitted::why}};
}

template <>
FieldTable<PersonChoice> describe() {
    using Of = PersonChoice;
    return {"#/$defs/person",
            {{"id", [](const Of& of) { return of.person->id; }},
             {"ranking", &Of::ranking, "best first"},
             {"unprotected", [](const Of& of) { return UnprotectedInChoose{of.unprotected}; }},
             {"peak_verdict", &Of::peak, "by the limits on the peak outside"},
             {"not_permitted", &Of::not_permitted},
             {"notes", &Of::notes},
             {"required_reduction", &Of::required},
             {"working", working_of_required, means_working}}};
}

template <>
FieldTable<ChooseReport> describe() {
    using Of = ChooseReport;
    return {"choose.schema.json",
            "earbudget choose --format json: what protects each person, ranked",
            {{members_of, [](const Of&) { return Program{}; }}, command<Of>("choose"),
             {"plan",
              [](const Of& of) {
                  return PlanFile{of.plan.title, of.record.inputs.front()};
              }},
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
             {members_of, [](const Of& of) { return of.record.draws.value(); }},
             {"sources", [](const Of& of) { return rules_of(of.choices); }},
             {"people", [](const Of& of) -> const auto& {return of.choices;
}
}  // namespace earbudget::report
, {
    "cautions", [](const Of&) { return cautions; }, means_cautions, { .filled = true }
}
}
}
;
}

std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const Record& record) {
    return json_of(ChooseReport{plan, choices, record});
}

const ObjectShape& choose_shape() { return object_shape<ChooseReport>(); }

}  // namespace earbudget::report
