#include <algorithm>

#include "report/cautions.hpp"
#include "report/shared_fields.hpp"
#include "starting/started_study.hpp"

namespace earbudget::starting {

namespace {

/// A file of the study, and what it holds.
struct WrittenFile {
    std::string_view file, kind;
};

std::vector<WrittenFile> written(const StartedStudy& started) {
    std::vector<WrittenFile> all;
    for (const files::OutputFile& file : started.files) {
        const auto is_named = [&](const auto& one) { return one.name == file.path; };
        const std::string_view kind = file.path == name_of_catalogue ? "protectors"
                                      : file.path == name_of_site    ? "site"
                                      : std::ranges::any_of(started.study.plans, is_named) ? "plan"
                                      : std::ranges::any_of(started.study.visits, is_named)
                                          ? "study"
                                          : "sequence";
        all.push_back({file.path, kind});
    }
    return all;
}

/// Files of one sort that were passed over.
struct PassedOver {
    std::string sort;
    std::size_t files;
};

/// A run that has an invented duration.
struct RunWithoutDuration {
    const ScannedRun& run;
};

std::vector<PassedOver> passed_over(const DraftedStudy& study) {
    std::vector<PassedOver> all;
    for (const auto& [sort, number] : study.ignored)
        all.push_back({sort, number});
    return all;
}

std::vector<RunWithoutDuration> without_duration(const DraftedStudy& study) {
    std::vector<RunWithoutDuration> all;
    for (const ScannedRun& run : study.without_duration)
        all.push_back({run});
    return all;
}

}  // namespace

}  // namespace earbudget::starting

namespace earbudget::report {

template <>
FieldTable<starting::WrittenFile> describe() {
    using Of = starting::WrittenFile;
    return {{"file", &Of::file, "within the folder"},
            {"kind", &Of::kind, {.one_of = "plan study protectors site sequence"}}};
}

template <>
FieldTable<starting::DraftedPlan> describe() {
    using Of = starting::DraftedPlan;
    return {{"file", &Of::name},
            {"sessions", &Of::sessions,
             "of scans, all whose runs it stands for; empty where there are no scans"}};
}

template <>
FieldTable<starting::DraftedVisit> describe() {
    using Of = starting::DraftedVisit;
    return {{"title", &Of::title},
            {"plan", &Of::plan},
            {"days_apart", &Of::days_apart,
             "from the visit before, by the dates of the scans; null where they do not tell"}};
}

template <>
FieldTable<starting::DraftedVisits> describe() {
    using Of = starting::DraftedVisits;
    return {{"file", &Of::name},
            {"participants", &Of::participants, "who came so, as the scans name them"},
            {"visits", &Of::visits}};
}

template <>
FieldTable<starting::InventedValue> describe() {
    using Of = starting::InventedValue;
    return {{"file", &Of::file, "within the folder"},
            {"line", &Of::line, at_least(1.0)},
            {"key", &Of::key, "with its tables, counted from 1"},
            {"value", &Of::value, "as it is written, TOML"}};
}

template <>
FieldTable<starting::ScannedRun> describe() {
    using Of = starting::ScannedRun;
    return {{"session", &Of::session},
            {"run", &Of::run, "name of its first file"},
            {"sequence", &Of::sequence, "id of the card that it was given"}};
}

template <>
FieldTable<starting::RunWithoutDuration> describe() {
    using Of = starting::RunWithoutDuration;
    return {{"session", [](const Of& of) { return of.run.session; }},
            {"run", [](const Of& of) { return of.run.run; }, "name of its first file"},
            {"sequence", [](const Of& of) { return of.run.sequence; }},
            {"missing", [](const Of& of) { return of.run.missing; }, "what could be stated"}};
}

template <>
FieldTable<starting::PassedOver> describe() {
    using Of = starting::PassedOver;
    return {{"sort", &Of::sort}, {"files", &Of::files, at_least(1.0)}};
}

template <>
FieldTable<starting::StartedStudy> describe() {
    using Of = starting::StartedStudy;
    return {"new.schema.json",
            "earbudget new --format json: the study that was written",
            {{members_of, [](const Of&) { return Program{}; }},
             command<Of>("new"),
             {members_of, [](const Of& of) { return RecordOfFiles{of.record}; }},
             {"folder", &Of::folder},
             {"written", [](const Of& of) { return starting::written(of); }, {.filled = true}},
             {"plans", [](const Of& of) { return of.study.plans; }, {.filled = true}},
             {"studies", [](const Of& of) { return of.study.visits; },
              "of who came several times, with their visits"},
             {"invented", [](const Of& of) { return starting::invented_in(of.files); },
              "every value that nobody measured or stated, to be replaced"},
             {"not_understood", [](const Of& of) { return of.study.taken_as; },
              "of tables: what was left out, and how what is not certain was taken"},
             {"not_matched", [](const Of& of) { return of.study.unmatched; },
              "runs of scans that no row of [match] fits, each with a card of its own"},
             {"without_duration", [](const Of& of) { return starting::without_duration(of.study); },
              "runs of scans whose duration is invented"},
             {"passed_over", [](const Of& of) { return starting::passed_over(of.study); },
              "files beside scans that are no runs"},
             {"notes", [](const Of& of) { return of.study.notes; }, "as they are printed"},
             {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::starting {

std::string started_json(const StartedStudy& started) { return report::json_of(started); }

const report::ObjectShape& started_shape() { return report::object_shape<StartedStudy>(); }

}  // namespace earbudget::starting
