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

struct PersonInChoose {
    const ChooseReport& report;
    const PersonChoice& choice;

    [[nodiscard]] Only<Working> working(const auto& whole) const {
        return only_if(report.record.with_working,
                       [&] { return asked_working(report.record, {choice.person->id}, whole); });
    }
};

struct RankedInChoose {
    const PersonInChoose& person;
    const RankedChoice& choice;

    [[nodiscard]] Only<Working> working() const { return person.working(choice.working); }
};
struct UnprotectedInChoose : RankedInChoose {};

std::vector<PersonInChoose> choices_of(const ChooseReport& report) {
    return each_of(report.choices, [&](const PersonChoice& choice) {
        return PersonInChoose{report, choice};
    });
}

std::vector<RankedInChoose> ranked_for(const PersonInChoose& of) {
    return each_of(of.choice.ranking, [&](const RankedChoice& choice) {
        return RankedInChoose{of, choice};
    });
}

Only<Working> working_of_required(const PersonInChoose& of) {
    const auto& required = of.choice.required;
    return required ? of.working(required->working) : Only<Working>{};
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
FieldTable<RankedInChoose> describe() {
    using Of = RankedInChoose;
    return {
        "#/$defs/ranked",
        {{"wears", [](const Of& of) { return of.choice.wears; }},
         {"method", [](const Of& of) { return of.choice.method; }},
         {"at_ear_LEX_8h_dB", [](const Of& of) { return of.choice.at_ear_LEX_8h; }},
         {"while_scanning_at_ear_LAeq_dB", [](const Of& of) { return of.choice.while_scanning; }},
         {"worst_margin_dB", [](const Of& of) { return of.choice.worst_margin; }},
         {"probability_over", [](const Of& of) { return of.choice.probability_over; },
          probability()},
         {"verdict", [](const Of& of) { return of.choice.verdict; }},
         {"peak_at_ear_verdict", [](const Of& of) { return of.choice.peak_at_ear; },
          "by the limits on the peak at the ear, part of verdict; null where none counts"},
         {"verdict_poorly_seated", [](const Of& of) { return of.choice.with_poor_fit; }},
         {"more_than_useful", [](const Of& of) { return of.choice.more_than_useful; }},
         {"fits_head_coil", [](const Of& of) { return of.choice.fits_head_coil; }},
         {"stated_metal_free", [](const Of& of) { return of.choice.stated_metal_free; }},
         {"comfortable", [](const Of& of) { return of.choice.comfortable; }},
         {"intercom_above_residual_dB",
          [](const Of& of) {
              return of.choice.intercom ? of.choice.intercom->above_residual() : std::nullopt;
          }},
         {"methods", [](const Of& of) { return EveryMethod{of.choice.methods}; }},
         {"reason", [](const Of& of) { return of.choice.reason; }},
         {"notes", [](const Of& of) { return of.choice.notes; }},
         {"working", &Of::working, means_working}}};
}

template <>
FieldTable<UnprotectedInChoose> describe() {
    using Of = UnprotectedInChoose;
    return {"#/$defs/unprotected",
            {{"at_ear_LEX_8h_dB", [](const Of& of) { return of.choice.at_ear_LEX_8h; }},
             {"while_scanning_LAeq_dB", [](const Of& of) { return of.choice.while_scanning; }},
             {"worst_margin_dB", [](const Of& of) { return of.choice.worst_margin; }},
             {"probability_over", [](const Of& of) { return of.choice.probability_over; },
              probability()},
             {"verdict", [](const Of& of) { return of.choice.verdict; }},
             {"working", &Of::working, means_working}}};
}

template <>
FieldTable<NotPermitted> describe() {
    return {{"wears", &NotPermitted::wears}, {"why", &NotPermitted::why}};
}

template <>
FieldTable<PersonInChoose> describe() {
    using Of = PersonInChoose;
    return {"#/$defs/person",
            {{"id", [](const Of& of) { return of.choice.person->id; }},
             {"ranking", ranked_for, "best first"},
             {"unprotected",
              [](const Of& of) {
                  return UnprotectedInChoose{{of, of.choice.unprotected}};
              }},
             {"peak_verdict", [](const Of& of) { return of.choice.peak; },
              "by the limits on the peak outside"},
             {"not_permitted", [](const Of& of) { return of.choice.not_permitted; }},
             {"notes", [](const Of& of) { return of.choice.notes; }},
             {"required_reduction", [](const Of& of) { return of.choice.required; }},
             {"working", working_of_required, means_working}}};
}

template <>
FieldTable<ChooseReport> describe() {
    using Of = ChooseReport;
    return {"choose.schema.json",
            "earbudget choose --format json: what protects each person, ranked",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("choose"),
             {"plan",
              [](const Of& of) {
                  return PlanFile{of.plan.title, of.record.inputs.front()};
              }},
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return of.record.draws.value(); }},
             {"sources", [](const Of& of) { return rules_of(of.choices); }},
             {"people", choices_of},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

std::string choose_json(const Plan& plan, const std::vector<PersonChoice>& choices,
                        const Record& record) {
    return json_of(ChooseReport{plan, choices, record});
}

const ObjectShape& choose_shape() { return object_shape<ChooseReport>(); }

}  // namespace earbudget::report
