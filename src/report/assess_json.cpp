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

/// At the ear while sequences run, and how useful that is.
struct WhileScanning {
    LevelA at_ear;
};

/// What is handed out where the first does not seat, and how the day comes out with it.
struct InsteadOfPerson {
    const PersonResult& of;
};

/// What of a day's exposure is due to what.
struct Drivers {
    const PersonResult& day;
};

const Plan& plan_of(const Outer& in) { return *in.the<AssessReport>().assessment.plan; }

const Person& person_of(const Outer& in) { return *in.the<PersonResult>().person; }

std::optional<std::string> sequence_id(const Outer& in, std::optional<std::size_t> sequence) {
    return if_any(sequence, [&](std::size_t n) { return plan_of(in).sequences[n].id; });
}

std::optional<std::string> position_id(const Outer& in, std::optional<std::size_t> position) {
    return if_any(position, [&](std::size_t n) { return plan_of(in).positions[n].id; });
}

/// The task that a row belongs to.
const Task* task_of(const SegmentResult& segment, const Outer& in) {
    return segment.row.task ? &person_of(in).tasks[*segment.row.task] : nullptr;
}

/// How the method of a row was used, where not as it is defined.
const Prediction* form_of(const SegmentResult& segment) {
    const Prediction* prediction = segment.row.prediction.get();
    return prediction && prediction->form != MethodForm::AsDefined ? prediction : nullptr;
}

Only<Working> working_of_person(const PersonResult& of, const Outer& in) {
    const Record& record = in.the<AssessReport>().record;
    return only_if(record.with_working,
                   [&] { return asked_working(record, {of.person->id}, of.working); });
}

void add_task(FieldTable<SegmentResult>& table) {
    using Of = SegmentResult;
    table.add(
        {{"task", [](const Of& of) { return only(of.row.task); }, "index of the person's task"},
         {"title",
          [](const Of& of, const Outer& in) {
              const Task* task = task_of(of, in);
              return only_if(task && !task->title.empty(), [&] { return task->title; });
          }},
         {"door",
          [](const Of& of, const Outer& in) {
              const Task* task = task_of(of, in);
              return only_if(task && task->position,
                             [&] { return task->door_open ? "open" : "shut"; });
          },
          {.one_of = "open shut"}},
         {"wears",
          [](const Of& of, const Outer& in) {
              const Task* task = task_of(of, in);
              return task ? only(task->wears) : Only<std::vector<std::string>>{};
          }},
         {"per",
          [](const Of& of) {
              return only_if(of.row.task.has_value(),
                             [&] { return of.row.once_a_day ? "day" : "session"; });
          },
          {.one_of = "day session"}}});
}

void add_method(FieldTable<SegmentResult>& table) {
    using Of = SegmentResult;
    table.add(
        {{"method",
          [](const Of& of) {
              const auto& prediction = of.row.prediction;
              return prediction ? std::optional(prediction->method) : std::nullopt;
          },
          "by which this row is predicted; null where nothing is worn or it counts "
          "unreduced"},
         {"method_form",
          [](const Of& of) { return only_if(form_of(of), [&] { return form_of(of)->form; }); },
          "how, where not as the method is defined",
          {.none_of = name_of(MethodForm::AsDefined)}},
         {"spectrum_uncertainty_dB",
          [](const Of& of) {
              return only_if(form_of(of), [&] { return form_of(of)->form_uncertainty; });
          },
          "standard uncertainty of the reduction by what is not known of the spectrum",
          at_least(0.0)},
         {"spectrum_like",
          [](const Of& of) {
              return only_if(form_of(of) && form_of(of)->form == MethodForm::SpectrumLike,
                             [&] { return of.row.sound->borrowed->card; });
          },
          "card whose octave bands stand for this one's"},
         {"reduction_by_M_dB",
          [](const Of& of) {
              return form_of(of) ? only(form_of(of)->reduction_by_M) : Only<LevelDifference>{};
          },
          "HML check by L: what M would give"},
         {"unreduced",
          [](const Of& of) {
              return only_if(of.row.is_unreached(), [] { return std::true_type(); });
          },
          "something is worn, but no method reaches this row"}});
}

Only<std::true_type> true_where(bool is_so) {
    return only_if(is_so, [] { return std::true_type(); });
}

/// Who it is, where the plan says.
void add_who(FieldTable<PersonResult>& table) {
    using Of = PersonResult;
    table.add(
        {{"title",
          [](const Of& of) {
              return only_if(!of.person->title.empty(), [&] { return of.person->title; });
          }},
         {"note",
          [](const Of& of) {
              return only_if(!of.person->note.empty(), [&] { return of.person->note; });
          }},
         {"age_group", [](const Of& of) { return only(of.person->age_group); }},
         {"pregnant_staff", [](const Of& of) { return true_where(of.person->pregnant_staff); },
          "asks for the unit's physician, changes no figure; so do the next two"},
         {"tinnitus_or_hyperacusis",
          [](const Of& of) { return true_where(of.person->tinnitus_or_hyperacusis); }},
         {"hearing_device", [](const Of& of) { return true_where(of.person->hearing_device); }},
         {"unfitted_ear", [](const Of& of) { return only(of.person->unfitted_ear); },
          "the person is judged by this ear, which only an earmuff reaches"},
         {"instead",
          [](const Of& of) {
              return only_if(of.instead.has_value(), [&] { return InsteadOfPerson{of}; });
          },
          "what is handed out where wears does not seat, well seated and all the time"}});
}

void add_terms(FieldTable<PersonResult>& table) {
    using Of = PersonResult;
    table.add({
        {"id", [](const Of& of) { return of.person->id; }},
        {"role", [](const Of& of) { return of.person->role; }},
        {"verdict", &Of::verdict},
        {"wears", [](const Of& of) { return of.person->wears; }},
        {"worn", [](const Of& of) { return of.person->wearing.fraction_of_time; }, probability()},
        {"fit",
         [](const Of& of) { return of.person->wearing.poor_fit ? "poor" : "as-rated"; },
         {.one_of = "as-rated poor"}},
        {"method", &Of::method},
        {"derating", &Of::derating},
        {"policy_derating", [](const Of& of) { return of.person->policy.rules.derating; }},
        {"protection_performance_percent",
         [](const Of& of) { return of.person->policy.rules.performance.percent(); }},
        {"accepted_probability_percent",
         [](const Of& of) { return 100.0 * of.person->policy.accepted_probability; },
         {.above = 0.0, .max = 50.0}},
        {"sessions_per_day", [](const Of& of) { return of.person->sessions_per_day; }},
        {"days_per_week", [](const Of& of) { return of.person->days_per_week; }},
        {"method_source", [](const Of& of) { return source_of_known(of.method); }},
        {"derating_source", [](const Of& of) { return source_of(of.derating.kind); }},
    });
}

}  // namespace

template <>
FieldTable<SegmentResult> describe() {
    using Of = SegmentResult;
    FieldTable<Of> table(
        "#/$defs/segment",
        {{"sequence",
          [](const Of& of, const Outer& in) { return sequence_id(in, of.row.sequence); },
          "its id; null for a rest or background"},
         {"rest",
          [](const Of& of) { return only_if(!of.row.sequence, [] { return std::true_type(); }); }},
         {"position",
          [](const Of& of, const Outer& in) { return only(position_id(in, of.row.position)); }}});
    add_task(table);
    add_method(table);
    table.add(
        {{"seconds", [](const Of& of) { return of.row.time; }},
         {"LAeq_dB", [](const Of& of) { return of.row.outside(); }},
         {"at_ear_LAeq_dB", [](const Of& of) { return of.row.at_ear; }},
         {"reduction_dB",
          [](const Of& of) { return of.row.sound ? std::optional(of.reduction) : std::nullopt; }},
         {"share_percent", &Of::share_percent, percentage()},
         {"repeats_left", &Of::repeats_left,
          "how many more of that run alone fit into every session with no limit over with more "
          "than the accepted probability; null for a rest or background"},
         {"repeats_left_best_estimate", &Of::repeats_left_best_estimate,
          "the same by the best estimate, never fewer"}});
    return table;
}

template <>
FieldTable<EarSpectrum> describe() {
    using Of = EarSpectrum;
    return {"#/$defs/spectrum",
            "the sequence with most of the day's sound energy at the ear, A-weighted in octave "
            "bands",
            {{"sequence",
              [](const Of& of, const Outer& in) { return plan_of(in).sequences[of.sequence].id; }},
             {"bands", &Of::bands}}};
}

template <>
FieldTable<Share> describe() {
    using Of = Share;
    return {"#/$defs/share",
            {{"task", [](const Of& of) { return only(of.task); }},
             {"title",
              [](const Of& of, const Outer& in) {
                  return only_if(of.task.has_value(),
                                 [&] { return person_of(in).tasks[*of.task].title; });
              }},
             {"sequence",
              [](const Of& of, const Outer& in) {
                  return only_if(!of.task, [&] { return sequence_id(in, of.sequence); });
              }},
             {"share_percent", &Of::percent, percentage()},
             {"drop_without_it_dB", &Of::drop}}};
}

template <>
FieldTable<Drivers> describe() {
    return {"", "what accounts for the exposure",
            {{"sequences", [](const Drivers& of) -> const auto& {return of.day.sequence_shares;
}
}  // namespace earbudget::report
, {"tasks", [](const Drivers& of) -> const auto& {return of.day.task_shares;
}
}
, {
    "largest_change", [](const Drivers& of) -> const auto& { return of.day.largest_change; }
}
}
}
;
}

template <>
FieldTable<InsteadOfPerson> describe() {
    using Of = InsteadOfPerson;
    return {{"wears", [](const Of& of) { return of.of.person->instead; }},
            {"verdict", [](const Of& of) { return *of.of.instead; }}};
}

template <>
FieldTable<WhileScanning> describe() {
    return {{"at_ear_LAeq_dB", &WhileScanning::at_ear},
            {"EN_458", [](const WhileScanning& of) { return ear_band(of.at_ear); }}};
}

template <>
FieldTable<Advice> describe() {
    using Of = Advice;
    const auto reduction = [](auto member) {
        return [member](const Of& of) {
            return only_if(of.reduction.has_value(), [&] { return of.*member; });
        };
    };
    const auto seconds = [](auto member) {
        return [member](const Of& of) {
            return only_if(of.seconds.has_value(), [&] { return of.*member; });
        };
    };
    const auto count = [](bool of_runs, auto member) {
        return [of_runs, member](const Of& of) {
            return only((of.code == AdviceCode::DropRepeats) == of_runs ? of.*member
                                                                        : std::nullopt);
        };
    };
    return {"#/$defs/advice",
            {{"code", &Of::code},
             {"text", [](const Of& of) { return text_of(of.says, " "); }},
             {"sequence",
              [](const Of& of, const Outer& in) {
                  return only(if_any(of.row, [&](std::size_t row) {
                      const auto& segment = in.the<PersonResult>().segments[row];
                      return plan_of(in).sequences[*segment.row.sequence].id;
                  }));
              },
              "id of the row's sequence"},
             {"segment", [](const Of& of) { return only(of.row); }, "index of the row"},
             {"seconds", seconds(&Of::seconds)},
             {"confident_seconds", seconds(&Of::confident_seconds)},
             {"repeat", count(true, &Of::count)},
             {"confident_repeat", count(true, &Of::confident_count)},
             {"sessions_per_day", count(false, &Of::count)},
             {"confident_sessions_per_day", count(false, &Of::confident_count)},
             {"days", [](const Of& of) { return only(of.days); }},
             {"added_reduction_dB", reduction(&Of::reduction), rounded_to(1)},
             {"confident_added_reduction_dB", reduction(&Of::confident_reduction), rounded_to(1)},
             {"position",
              [](const Of& of, const Outer& in) { return only(position_id(in, of.position)); }},
             {"wears",
              [](const Of& of) { return only_if(!of.wears.empty(), [&] { return of.wears; }); }}}};
}

template <>
FieldTable<PersonResult> describe() {
    using Of = PersonResult;
    FieldTable<Of> table("#/$defs/person", {});
    add_terms(table);
    add_who(table);
    table.add(
        {{"segments", &Of::segments, "one a row of the day, repeats folded in"},
         {"exposure", &Of::exposure},
         {"course", &Of::course},
         {"spectrum", &Of::spectrum},
         {"visits", [](const Of& of) { return of.person->visits; }},
         {"study_at_ear_Pa2h", &Of::study_Pa2h, at_least(0.0)},
         {"drivers", [](const Of& of) { return Drivers{of}; }},
         {"criteria", &Of::criteria},
         {"criteria_by_default",
          [](const Of& of) { return of.person->policy.criteria_by_default; }},
         {"not_judged", &Of::not_judged,
          "ids of criteria whose peak limit cannot be judged, since a peak is not stated and no "
          "bound keeps the limit"},
         {"poorly_seated_LEX_8h_dB", &Of::poor_fit_LEX_8h},
         {"methods", [](const Of& of) { return EveryMethod{of.methods}; }},
         {"while_scanning",
          [](const Of& of) {
              return if_any(of.while_scanning, [](LevelA level) { return WhileScanning{level}; });
          }},
         {"intercom", &Of::intercom},
         {"advice", &Of::advice},
         {"working", working_of_person, means_working}});
    return table;
}

template <>
FieldTable<HeardBefore> describe() {
    using Of = HeardBefore;
    return {{"id", &Of::id},
            {"as", &Of::as, "by which code the register knows this person"},
            {"stopped", &Of::stopped,
             "by pain, ringing or dulled hearing that nobody has cleared: nothing more is run"},
            {"criteria", &Of::criteria, "what was heard on the day and in the week alone"}};
}

template <>
FieldTable<StartedFrom> describe() {
    using Of = StartedFrom;
    return {"#/$defs/started_from",
            "of these people criteria, verdict and repeats_left are of what was heard and the plan's "
            "day together, everything else of the plan's day alone",
            {{"register", [](const Of& of) { return of.of_register.path; }},
             {"head", [](const Of& of) { return of.of_register.sha256; }},
             {"time_zone", &Of::time_zone},
             {"at", &Of::at, "when the plan's day begins"},
             {"people", &Of::people}}};
}

template <>
FieldTable<AssessReport> describe() {
    using Of = AssessReport;
    return {"assess.schema.json", "earbudget assess --format json: everyone's exposure over a plan",
            {{members_of, [](const Of&) { return Program{}; }}, command<Of>("assess"),
             {"plan",
              [](const Of& of) {
                  return PlanFile{of.assessment.plan->title, of.plan_file};
              }},
             {"verdict", [](const Of& of) { return of.assessment.verdict(); },
              "close: the best estimate is within, the probability of being over is above what is "
              "accepted, or levels are guessed, declared or predicted"},
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {members_of, [](const Of& of) { return ExamplesUsed{of.record}; }},
             {members_of, [](const Of& of) { return of.record.draws.value(); }},
             {"sources", [](const Of& of) { return rules_of(of.assessment); }},
             {"people", [](const Of& of) -> const auto& {return of.assessment.people;
}
}
, {"against", [](const Of& of) { return only(of.earlier); }, "with --against"},
    {"started_from", [](const Of& of) { return only(of.record.started_from); }, "with --register"},
    {"warnings", [](const Of& of) -> const auto& {return of.assessment.warnings;
}
}
, {
    "cautions", [](const Of&) { return cautions; }, means_cautions, { .filled = true }
}
}
}
;
}

std::string assess_json(const Assessment& assessment, const SourceFile& plan_file,
                        const Record& record, const std::optional<Earlier>& earlier) {
    return json_of(AssessReport{assessment, plan_file, record, earlier});
}

const ObjectShape& assess_shape() { return object_shape<AssessReport>(); }

}  // namespace earbudget::report
