#include "earbudget/day/ear_band.hpp"
#include "report/assess_fields.hpp"
#include "report/cautions.hpp"
#include "report/reports.hpp"
#include "report/shared_fields.hpp"

namespace earbudget::report {

namespace {

struct AssessReport {
    const Assessment& assessment;
    const SourceFile& plan_file;
    const Record& record;
    const std::optional<Earlier>& earlier;
};

struct PersonInAssess {
    const Plan& plan;
    const PersonResult& result;
    const Record& record;

    [[nodiscard]] const Person& person() const { return *result.person; }
    [[nodiscard]] const std::string& id_of(std::size_t sequence) const {
        return plan.sequences[sequence].id;
    }
    [[nodiscard]] std::optional<std::string> id_of(std::optional<std::size_t> sequence) const {
        return sequence ? std::optional(id_of(*sequence)) : std::nullopt;
    }
    [[nodiscard]] std::optional<std::string> position_id(std::optional<std::size_t> n) const {
        return n ? std::optional(plan.positions[*n].id) : std::nullopt;
    }
};

/// Who it is, what is worn and by which rules.
struct PersonTerms {
    const PersonInAssess& of;
};

/// A row of the day, and the task that it belongs to.
struct SegmentInAssess {
    const PersonInAssess& of;
    const SegmentResult& segment;

    [[nodiscard]] const ExposureRow& row() const { return segment.row; }
    [[nodiscard]] const Task* task() const {
        return row().task ? &of.person().tasks[*row().task] : nullptr;
    }
};

struct TaskOfSegment {
    const SegmentInAssess& segment;
};

struct MethodOfSegment {
    const SegmentInAssess& segment;

    /// How the method was used, where not as it is defined.
    [[nodiscard]] const Prediction* form() const {
        const Prediction* prediction = segment.row().prediction.get();
        return prediction && prediction->form != MethodForm::AsDefined ? prediction : nullptr;
    }
};

struct ShareInAssess {
    const PersonInAssess& of;
    const Share& share;
};

struct AdviceInAssess {
    const PersonInAssess& of;
    const Advice& advice;

    [[nodiscard]] Only<unsigned> count_if(bool of_runs, std::optional<unsigned> count) const {
        return {(advice.code == AdviceCode::DropRepeats) == of_runs ? count : std::nullopt};
    }
};

/// What of a day's exposure is due to what.
struct Drivers {
    const PersonInAssess& of;
};

/// At the ear while sequences run, and how useful that is.
struct WhileScanning {
    LevelA at_ear;
};

/// The sound of the sequence with most of the energy at the ear.
struct LoudestSpectrum {
    const PersonInAssess& of;

    [[nodiscard]] std::optional<LoudestSpectrum> if_known() const {
        return of.result.spectrum ? std::optional(*this) : std::nullopt;
    }
};

/// The parts of a result, each with the person that it belongs to.
template <class View, class Part>
std::vector<View> views(const PersonInAssess& of, const std::vector<Part>& parts) {
    return each_of(parts, [&](const Part& part) { return View{of, part}; });
}

std::vector<PersonInAssess> people_in(const AssessReport& of) {
    return each_of(of.assessment.people, [&](const PersonResult& result) {
        return PersonInAssess{*of.assessment.plan, result, of.record};
    });
}

Only<Working> working_of_person(const PersonInAssess& of) {
    return only_if(of.record.with_working,
                   [&] { return asked_working(of.record, {of.person().id}, of.result.working); });
}

}  // namespace

template <>
FieldTable<TaskOfSegment> describe() {
    using Of = TaskOfSegment;
    return {{"task", [](const Of& of) { return only(of.segment.row().task); },
             "index of the person's task"},
            {"title",
             [](const Of& of) {
                 const Task* task = of.segment.task();
                 return only_if(task && !task->title.empty(), [&] { return task->title; });
             }},
            {"door",
             [](const Of& of) {
                 const Task* task = of.segment.task();
                 return only_if(task && task->position,
                                [&] { return task->door_open ? "open" : "shut"; });
             },
             {.one_of = "open shut"}},
            {"wears",
             [](const Of& of) {
                 const Task* task = of.segment.task();
                 return task ? only(task->wears) : Only<std::vector<std::string>>{};
             }},
            {"per",
             [](const Of& of) {
                 return only_if(of.segment.task(),
                                [&] { return of.segment.row().once_a_day ? "day" : "session"; });
             },
             {.one_of = "day session"}}};
}

template <>
FieldTable<MethodOfSegment> describe() {
    using Of = MethodOfSegment;
    return {{"method",
             [](const Of& of) {
                 const auto& prediction = of.segment.row().prediction;
                 return prediction ? std::optional(prediction->method) : std::nullopt;
             },
             "by which this row is predicted; null where nothing is worn or it counts unreduced"},
            {"method_form",
             [](const Of& of) { return only_if(of.form(), [&] { return of.form()->form; }); },
             "how, where not as the method is defined",
             {.none_of = name_of(MethodForm::AsDefined)}},
            {"spectrum_uncertainty_dB",
             [](const Of& of) {
                 return only_if(of.form(), [&] { return of.form()->form_uncertainty; });
             },
             "standard uncertainty of the reduction by what is not known of the spectrum",
             at_least(0.0)},
            {"spectrum_like",
             [](const Of& of) {
                 return only_if(of.form() && of.form()->form == MethodForm::SpectrumLike,
                                [&] { return of.segment.row().sound->borrowed->card; });
             },
             "card whose octave bands stand for this one's"},
            {"reduction_by_M_dB",
             [](const Of& of) {
                 return of.form() ? only(of.form()->reduction_by_M) : Only<LevelDifference>{};
             },
             "HML check by L: what M would give"},
            {"unreduced",
             [](const Of& of) {
                 return only_if(of.segment.row().is_unreached(), [] { return std::true_type(); });
             },
             "something is worn, but no method reaches this row"}};
}

template <>
FieldTable<SegmentInAssess> describe() {
    using Of = SegmentInAssess;
    return {
        "#/$defs/segment",
        {{"sequence", [](const Of& s) { return s.of.id_of(s.row().sequence); },
          "its id; null for a rest or background"},
         {"rest",
          [](const Of& s) { return only_if(!s.row().sequence, [] { return std::true_type(); }); }},
         {"position", [](const Of& s) { return only(s.of.position_id(s.row().position)); }},
         {members_of, [](const Of& s) { return TaskOfSegment{s}; }},
         {members_of, [](const Of& s) { return MethodOfSegment{s}; }},
         {"seconds", [](const Of& s) { return s.row().time; }},
         {"LAeq_dB", [](const Of& s) { return s.row().outside(); }},
         {"at_ear_LAeq_dB", [](const Of& s) { return s.row().at_ear; }},
         {"reduction_dB",
          [](const Of& s) {
              return s.row().sound ? std::optional(s.segment.reduction) : std::nullopt;
          }},
         {"share_percent", [](const Of& s) { return s.segment.share_percent; }, percentage()},
         {"repeats_left", [](const Of& s) { return s.segment.repeats_left; },
          "how many more of that run alone fit into every session with no limit over with more "
          "than the accepted probability; null for a rest or background"},
         {"repeats_left_best_estimate",
          [](const Of& s) { return s.segment.repeats_left_best_estimate; },
          "the same by the best estimate, never fewer"}}};
}

template <>
FieldTable<LoudestSpectrum> describe() {
    using Of = LoudestSpectrum;
    return {
        "#/$defs/spectrum",
        "the sequence with most of the day's sound energy at the ear, A-weighted in octave "
        "bands",
        {{"sequence", [](const Of& of) { return of.of.id_of(of.of.result.spectrum->sequence); }},
         {"bands", [](const Of& of) { return of.of.result.spectrum->bands; }}}};
}

template <>
FieldTable<ShareInAssess> describe() {
    using Of = ShareInAssess;
    return {"#/$defs/share",
            {{"task", [](const Of& of) { return only(of.share.task); }},
             {"title",
              [](const Of& of) {
                  return only_if(of.share.task.has_value(),
                                 [&] { return of.of.person().tasks[*of.share.task].title; });
              }},
             {"sequence",
              [](const Of& of) {
                  return only_if(!of.share.task, [&] { return of.of.id_of(of.share.sequence); });
              }},
             {"share_percent", [](const Of& of) { return of.share.percent; }, percentage()},
             {"drop_without_it_dB", [](const Of& of) { return of.share.drop; }}}};
}

template <>
FieldTable<Drivers> describe() {
    using Of = Drivers;
    return {
        "",
        "what accounts for the exposure",
        {{"sequences",
          [](const Of& of) { return views<ShareInAssess>(of.of, of.of.result.sequence_shares); }},
         {"tasks",
          [](const Of& of) { return views<ShareInAssess>(of.of, of.of.result.task_shares); }},
         {"largest_change", [](const Of& of) { return of.of.result.largest_change; }}}};
}

template <>
FieldTable<WhileScanning> describe() {
    return {{"at_ear_LAeq_dB", &WhileScanning::at_ear},
            {"EN_458", [](const WhileScanning& of) { return ear_band(of.at_ear); }}};
}

template <>
FieldTable<AdviceInAssess> describe() {
    using Of = AdviceInAssess;
    const auto reduction = [](auto member) {
        return [member](const Of& of) {
            return only_if(of.advice.reduction.has_value(), [&] { return of.advice.*member; });
        };
    };
    const auto seconds = [](auto member) {
        return [member](const Of& of) {
            return only_if(of.advice.seconds.has_value(), [&] { return of.advice.*member; });
        };
    };
    const auto count = [](bool of_runs, auto member) {
        return [of_runs, member](const Of& of) { return of.count_if(of_runs, of.advice.*member); };
    };
    return {
        "#/$defs/advice",
        {{"code", [](const Of& of) { return of.advice.code; }},
         {"text", [](const Of& of) { return text_of(of.advice.says, " "); }},
         {"sequence",
          [](const Of& of) {
              return only_if(of.advice.row.has_value(), [&] {
                  return of.of.id_of(*of.of.result.segments[*of.advice.row].row.sequence);
              });
          },
          "id of the row's sequence"},
         {"segment", [](const Of& of) { return only(of.advice.row); }, "index of the row"},
         {"seconds", seconds(&Advice::seconds)},
         {"confident_seconds", seconds(&Advice::confident_seconds)},
         {"repeat", count(true, &Advice::count)},
         {"confident_repeat", count(true, &Advice::confident_count)},
         {"sessions_per_day", count(false, &Advice::count)},
         {"confident_sessions_per_day", count(false, &Advice::confident_count)},
         {"days", [](const Of& of) { return only(of.advice.days); }},
         {"added_reduction_dB", reduction(&Advice::reduction), rounded_to(1)},
         {"confident_added_reduction_dB", reduction(&Advice::confident_reduction), rounded_to(1)},
         {"position", [](const Of& of) { return only(of.of.position_id(of.advice.position)); }},
         {"wears", [](const Of& of) {
              return only_if(!of.advice.wears.empty(), [&] { return of.advice.wears; });
          }}}};
}

template <>
FieldTable<PersonTerms> describe() {
    using Of = PersonTerms;
    return {
        {"id", [](const Of& of) { return of.of.person().id; }},
        {"role", [](const Of& of) { return of.of.person().role; }},
        {"verdict", [](const Of& of) { return of.of.result.verdict; }},
        {"wears", [](const Of& of) { return of.of.person().wears; }},
        {"worn", [](const Of& of) { return of.of.person().wearing.fraction_of_time; },
         probability()},
        {"fit",
         [](const Of& of) { return of.of.person().wearing.poor_fit ? "poor" : "as-rated"; },
         {.one_of = "as-rated poor"}},
        {"method", [](const Of& of) { return of.of.result.method; }},
        {"derating", [](const Of& of) { return of.of.result.derating; }},
        {"policy_derating", [](const Of& of) { return of.of.person().policy.rules.derating; }},
        {"protection_performance_percent",
         [](const Of& of) { return of.of.person().policy.rules.performance.percent(); }},
        {"accepted_probability_percent",
         [](const Of& of) { return 100.0 * of.of.person().policy.accepted_probability; },
         {.above = 0.0, .max = 50.0}},
        {"sessions_per_day", [](const Of& of) { return of.of.person().sessions_per_day; }},
        {"days_per_week", [](const Of& of) { return of.of.person().days_per_week; }},
        {"method_source", [](const Of& of) { return source_of_known(of.of.result.method); }},
        {"derating_source", [](const Of& of) { return source_of(of.of.result.derating.kind); }}};
}

template <>
FieldTable<PersonInAssess> describe() {
    using Of = PersonInAssess;
    return {
        "#/$defs/person",
        {{members_of, [](const Of& of) { return PersonTerms{of}; }},
         {"segments", [](const Of& of) { return views<SegmentInAssess>(of, of.result.segments); },
          "one a row of the day, repeats folded in"},
         {"exposure", [](const Of& of) { return of.result.exposure; }},
         {"course", [](const Of& of) { return of.result.course; }},
         {"spectrum", [](const Of& of) { return LoudestSpectrum{of}.if_known(); }},
         {"visits", [](const Of& of) { return of.person().visits; }},
         {"study_at_ear_Pa2h", [](const Of& of) { return of.result.study_Pa2h; }, at_least(0.0)},
         {"drivers", [](const Of& of) { return Drivers{of}; }},
         {"criteria", [](const Of& of) { return of.result.criteria; }},
         {"criteria_by_default",
          [](const Of& of) { return of.person().policy.criteria_by_default; }},
         {"not_judged", [](const Of& of) { return of.result.not_judged; },
          "ids of criteria whose peak limit cannot be judged, since a peak is not stated and no "
          "bound keeps the limit"},
         {"poorly_seated_LEX_8h_dB", [](const Of& of) { return of.result.poor_fit_LEX_8h; }},
         {"methods", [](const Of& of) { return EveryMethod{of.result.methods}; }},
         {"while_scanning",
          [](const Of& of) {
              return if_any(of.result.while_scanning,
                            [](LevelA level) { return WhileScanning{level}; });
          }},
         {"intercom", [](const Of& of) { return of.result.intercom; }},
         {"advice", [](const Of& of) { return views<AdviceInAssess>(of, of.result.advice); }},
         {"working", working_of_person, means_working}}};
}

template <>
FieldTable<AssessReport> describe() {
    using Of = AssessReport;
    return {"assess.schema.json",
            "earbudget assess --format json: everyone's exposure over a plan",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("assess"),
             {"plan",
              [](const Of& of) {
                  return PlanFile{of.assessment.plan->title, of.plan_file};
              }},
             {"verdict", [](const Of& of) { return of.assessment.verdict(); },
              "close: the best estimate is within, the probability of being over is above what is "
              "accepted"},
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return of.record.draws.value(); }},
             {"sources", [](const Of& of) { return rules_of(of.assessment); }},
             {"people", people_in},
             {"against", [](const Of& of) { return only(of.earlier); }, "with --against"},
             {"warnings", [](const Of& of) { return of.assessment.warnings; }},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

std::string assess_json(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const std::optional<Earlier>& earlier) {
    return json_of(AssessReport{assessment, plan_file, record, earlier});
}

const ObjectShape& assess_shape() { return object_shape<AssessReport>(); }

}  // namespace earbudget::report
