#include "report/assess_fields.hpp"

#include "report/assess_words.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

template <>
FieldTable<Derating> describe() {
    return {{"dB", &Derating::own}};
}

template <>
FieldTable<ErrorShare> describe() {
    return {{"error", &ErrorShare::kind},
            {"standard_dB", &ErrorShare::standard, at_least(0.0)},
            {"share_percent", [](const ErrorShare& of) { return 100.0 * of.share_of_variance; },
             percentage()}};
}

template <>
FieldTable<FirstOrder> describe() {
    return {"#/$defs/first_order",
            "by the variances of the errors, as a pocket calculator can; null for the highest hour "
            "and peaks",
            {{"above_limit_dB", &FirstOrder::above_limit},
             {"standard_dB", &FirstOrder::standard, at_least(0.0)},
             {"probability_over", &FirstOrder::probability_over, probability()},
             {"parts", &FirstOrder::parts, "largest first"}}};
}

template <>
FieldTable<CriterionResult> describe() {
    using Of = CriterionResult;
    return {"#/$defs/criterion",
            {{"id", [](const Of& of) { return of.criterion->id; }},
             {"quantity", &Of::quantity, {.names = names_of<ExposureQuantity>, .one_of = "peak"}},
             {"value", &Of::value},
             {"limit", &Of::limit},
             {"unit", &Of::unit, {.one_of = "percent dB"}},
             {"at_ear", &Of::at_ear},
             {"by_bound", &Of::by_bound,
              "a peak that no card states is within by a bound: value is then what it is at most"},
             {"limited_by_origin",
              [](const Of& of) {
                  return only_if(of.limited_by_origin, [] { return std::true_type(); });
              },
              "close for no other reason than that levels are guessed, declared or predicted; absent "
              "elsewhere"},
             {"made_for_others",
              [](const Of& of) {
                  return only_if(of.made_for_others, [] { return std::true_type(); });
              },
              "of an age for which no limit is known: the limit is made for others, so that margin "
              "and probability decide nothing; absent elsewhere"},
             {"margin_dB", &Of::margin},
             {"probability_over", &Of::probability_over,
              "share of the draws; of a peak by its card's uncertainty; null without sound",
              probability()},
             {"not_exceeded_by_95_percent", &Of::not_exceeded,
              "in the unit of value; null for peaks and without sound"},
             {"first_order", &Of::first_order},
             {"verdict", &Of::verdict},
             {"kind", [](const Of& of) { return of.criterion->kind; }},
             {"decides", &Of::decides,
              "whether the person's verdict hangs on it; an action value only beside no limit"},
             {"verdict_poorly_seated", &Of::with_poor_fit},
             {"source", [](const Of& of) { return of.criterion->source; }},
             {"remark", [](const Of& of) {
                  return only_if(!of.remarks.empty(), [&] { return text_of(of.remarks, "; "); });
              }}}};
}

template <>
FieldTable<DayExposure> describe() {
    using Of = DayExposure;
    return {"#/$defs/exposure",
            "one day's",
            {{"seconds", &Of::time},
             {"LAeq_dB", &Of::LAeq},
             {"at_ear_LAeq_dB", &Of::at_ear_LAeq},
             {"at_ear_LAeq_1h_dB", &Of::at_ear_LAeq_1h},
             {"LEX_8h_dB", &Of::LEX_8h},
             {"at_ear_LEX_8h_dB", &Of::at_ear_LEX_8h},
             {"at_ear_Pa2h", &Of::at_ear_Pa2h, at_least(0.0)}}};
}

template <>
FieldTable<AllowanceCourse> describe() {
    using Of = AllowanceCourse;
    const auto of_points = [](auto member) {
        return [member](const Of& of) {
            std::vector<std::remove_cvref_t<decltype(of.points.front().*member)>> all;
            for (const AllowancePoint& point : of.points)
                all.push_back(point.*member);
            return all;
        };
    };
    return {{"id", [](const Of& of) { return of.criterion->id; }},
            {"reached_seconds", &Of::reached},
            {"after_segment_percent", &Of::after_row},
            {"seconds", of_points(&AllowancePoint::at)},
            {"percent", of_points(&AllowancePoint::percent)}};
}

template <>
FieldTable<DayCourse> describe() {
    return {"#/$defs/course",
            "what the day uses of each exposure limit as it goes on, percent of what it permits",
            {{"segments", &DayCourse::rows},
             {"end_seconds", &DayCourse::ends},
             {"criteria", &DayCourse::allowances}}};
}

template <>
FieldTable<EarBandLevel> describe() {
    using Of = EarBandLevel;
    return {{"Hz", [](const Of& of) { return nominal_frequency(of.band); }},
            {"LAeq_dB", &Of::outside},
            {"attenuation_dB", &Of::attenuation},
            {"at_ear_LAeq_dB", &Of::at_ear}};
}

template <>
FieldTable<Change> describe() {
    return {{"text", &Change::says}, {"drop_dB", &Change::drop}};
}

template <>
FieldTable<IntercomAtEar> describe() {
    return {{"at_ear_LAeq_dB", &IntercomAtEar::speech},
            {"residual_dB", &IntercomAtEar::residual},
            {"above_residual_dB", &IntercomAtEar::above_residual}};
}

template <>
FieldTable<Warning> describe() {
    return {"#/$defs/warning",
            {{"code", &Warning::code},
             {"text",
              // Each person's stays apart, since each has a place of its own.
              [](const Warning& of) {
                  return (of.people.empty() ? "" : names_of_people(of.people) + ": ") +
                         text_of(of.says);
              },
              "with whom it concerns in front"},
             {"where",
              [](const Warning& of) {
                  return of.where ? std::optional(of.where->text()) : std::nullopt;
              },
              "FILE:LINE:COLUMN"},
             {"people", &Warning::people,
              "ids of whom it concerns, one an entry; empty: a card or the whole plan"}}};
}

}  // namespace earbudget::report
