#include "report/shared_fields.hpp"

#include <algorithm>
#include <variant>

#include "report/record.hpp"

namespace earbudget::report {

namespace {

/// What is put into a step; `rows` is what its sum runs over.
struct StepValues {
    const WorkingStep& step;

    [[nodiscard]] std::vector<Map<WorkingValue>> rows() const {
        std::vector<Map<WorkingValue>> rows;
        for (const auto& cells : step.rows) {
            Map<WorkingValue>& row = rows.emplace_back();
            for (std::size_t n = 0; n < cells.size(); ++n)
                row.emplace_back(step.columns[n], cells[n]);
        }
        return rows;
    }
};

}  // namespace

template <>
struct InJson<WorkingValue> {
    static void write(const WorkingValue& value, const Note& /*note*/, JsonText& to) {
        if (const auto* number = std::get_if<double>(&value)) return to.number(*number);
        if (const auto* word = std::get_if<std::string>(&value)) return to.text(*word);
        if (const auto* says = std::get_if<Message>(&value)) return to.text(text_of(*says));
        to.null();
    }
    static Shape shape() {
        return or_null({.kind = Shape::Kind::AnyOf,
                        .parts = {{.kind = Shape::Kind::Number}, {.kind = Shape::Kind::Text}},
                        .shared_as = "common.schema.json#/$defs/working_value"});
    }
};

template <>
FieldTable<StepValues> describe() {
    return {"",
            "put in; rows is what a sum runs over",
            {{"rows", [](const StepValues& values) {
                  return only_if(!values.step.columns.empty(), [&] { return values.rows(); });
              }}}};
}

template <>
struct InJson<StepValues> {
    static void write(const StepValues& values, const Note& note, JsonText& to) {
        to.open_object();
        for (const NamedValue& value : values.step.values) {
            to.key(value.name);
            InJson<WorkingValue>::write(value.value, note, to);
        }
        table_of<StepValues>().write_rows(&values, to);
        to.close_object();
    }
    static Shape shape() {
        return {.kind = Shape::Kind::Map,
                .parts = {InJson<WorkingValue>::shape()},
                .object = object_shape<StepValues>};
    }
};

template <>
FieldTable<WorkingStep> describe() {
    return {"common.schema.json#/$defs/working_step",
            {{"what", what_of},
             {"of", &WorkingStep::of,
              "keys of the numbers that it gives, from the object that the working stands in"},
             {"formula", &WorkingStep::formula},
             {"source", &WorkingStep::source,
              "document, edition and clause, or that the edition is not confirmed"},
             {"values", [](const WorkingStep& step) { return StepValues{step}; }},
             {"result", &WorkingStep::result},
             {"unit", &WorkingStep::unit}}};
}

template <>
FieldTable<Program> describe() {
    return {{"program", [](const Program&) { return "earbudget"; }, {.one_of = "earbudget"}},
            {"version",
             [](const Program&) { return program_version(); },
             {.pattern = "^[0-9]+\\.[0-9]+\\.[0-9]+$"}}};
}

template <>
FieldTable<SourceFile> describe() {
    return {"common.schema.json#/$defs/file",
            "a file that was read, as it was named",
            {{"file", &SourceFile::path},
             {"sha256", &SourceFile::sha256, {.pattern = "^[0-9a-f]{64}$"}}}};
}

template <>
FieldTable<PlanFile> describe() {
    return {"common.schema.json#/$defs/plan_file",
            {{"title", &PlanFile::title}, {members_of, &PlanFile::file}}};
}

template <>
FieldTable<RecordOfFiles> describe() {
    return {{"date",
             [](const RecordOfFiles& of) { return of.record.date; },
             {.pattern = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}},
            {"inputs", [](const RecordOfFiles& of) { return of.record.inputs; }},
            {"fingerprint",
             [](const RecordOfFiles& of) { return of.record.fingerprint; },
             {.pattern = "^[0-9a-f]{64}$"}}};
}

template <>
FieldTable<ExamplesUsed> describe() {
    return {{"examples", [](const ExamplesUsed& of) { return of.record.examples; },
             "files used that say that their figures are examples to be replaced; empty where all "
             "are the user's own"}};
}

template <>
FieldTable<DrawSettings> describe() {
    return {{"seed", &DrawSettings::seed, "of the draws: what repeats them"},
            {"draws", &DrawSettings::draws, "behind each probability", {.min = 1}},
            {"draws_of_times",
             [](const DrawSettings& of) { return std::max(of.draws, of.draws_of_times); },
             "behind times, runs, sessions and reductions that keep the accepted probability, and "
             "behind probabilities near it",
             {.min = 1}}};
}

template <>
FieldTable<NamedSource> describe() {
    return {"common.schema.json#/$defs/named_source",
            {{"id", &NamedSource::id},
             {"source", &NamedSource::source,
              "document, edition and clause, or that the edition is not confirmed"}}};
}

template <>
FieldTable<RulesUsed> describe() {
    return {"common.schema.json#/$defs/sources",
            "what the results rest on, each once",
            {{"methods", &RulesUsed::methods},
             {"deratings", &RulesUsed::deratings},
             {"criteria", &RulesUsed::criteria}}};
}

template <>
FieldTable<MethodOutcome> describe() {
    return {{"method", &MethodOutcome::method},
            {"derating", &MethodOutcome::derating},
            {"of_policy", &MethodOutcome::of_policy},
            {"at_ear_LEX_8h_dB", &MethodOutcome::at_ear_LEX_8h}};
}

template <>
FieldTable<EveryMethod> describe() {
    using Of = EveryMethod;
    return {"common.schema.json#/$defs/methods",
            "LEX,8h at the ear by every method that the data allow",
            {{"lowest_at_ear_LEX_8h_dB", [](const Of& of) { return spread_of(of.each).lowest; }},
             {"highest_at_ear_LEX_8h_dB", [](const Of& of) { return spread_of(of.each).highest; }},
             {"policy_at_ear_LEX_8h_dB", [](const Of& of) { return spread_of(of.each).of_policy; }},
             {"each", [](const Of& of) { return of.each; }}}};
}

Note by_octave_band(int decimals) {
    return {
        .means = "by nominal mid-band frequency, Hz; a band that is not known is left out or null",
        .names =
            [] {
                return std::vector<std::string>(octave_band_names.begin(), octave_band_names.end());
            },
        .decimals = decimals};
}

}  // namespace earbudget::report
