#include "records/register_fields.hpp"
#include "report/cautions.hpp"

namespace earbudget::report {

namespace {

/// True or left out.
Only<std::true_type> true_if(bool is_so) {
    return only_if(is_so, [] { return std::true_type(); });
}

constexpr std::string_view means_lower_bound =
    "what was heard is at least that: some of it is from scans that were kept; absent elsewhere";

}  // namespace

template <>
FieldTable<sessions::Missing> describe() {
    using Of = sessions::Missing;
    return {"#/$defs/missing",
            "what is not known, by numbers of entries",
            {{"unconfirmed", &Of::unconfirmed, "runs whose end is not stated"},
             {"unknown_level", &Of::unknown_level,
              "counted as nothing; what is not over is then undecided"},
             {"overlapping",
              [](const Of& of) {
                  return each_of(of.overlapping, [](const auto& both) {
                      return std::vector<std::int64_t>{both.first, both.second};
                  });
              },
              "two at once; both count"},
             {"damaged", &Of::damaged, "that cannot be read"}}};
}

template <>
FieldTable<sessions::DaysBy> describe() {
    using Of = sessions::DaysBy;
    return {"#/$defs/days_by",
            {{"id", &Of::criterion},
             {"peak", [](const Of& of) { return of.is_peak; }, "against its limit on peaks"},
             {"kind", &Of::kind},
             {"days", &Of::days, "judged by it"},
             {"over", &Of::over, "by the best estimate; of an action value, days above it"},
             {"close", &Of::close},
             {"unknown", &Of::unknown}}};
}

template <>
FieldTable<sessions::MonthTotal> describe() {
    using Of = sessions::MonthTotal;
    return {"#/$defs/month",
            "a month, or as much of it as was asked about",
            {{"from", &Of::first},
             {"days", &Of::days, "with anything heard; of all people"},
             {"sessions", &Of::sessions},
             {"runs", &Of::runs},
             {"seconds", &Of::time, "in noise"},
             {"at_ear_Pa2h", &Of::at_ear_Pa2h, at_least(0.0)},
             {"criteria", &Of::by}}};
}

template <>
FieldTable<sessions::RoleTotals> describe() {
    using Of = sessions::RoleTotals;
    return {{"role", &Of::role}, {"people", &Of::people}, {"months", &Of::months}};
}

template <>
FieldTable<records::EventAnswer> describe() {
    using Of = records::EventAnswer;
    return {"#/$defs/event",
            {{"entry", [](const Of& of) { return of.event.entry; }},
             {"session", [](const Of& of) { return of.event.session; }},
             {"at", &Of::at},
             {"what",
              [](const Of& of) { return std::string(sessions::event_kinds[of.event.what].name); },
              {.names =
                   [] {
                       const auto names = sessions::event_kinds.names();
                       return std::vector<std::string>(names.begin(), names.end());
                   }}},
             {"note", [](const Of& of) { return of.event.note; }},
             {"cleared", [](const Of& of) { return of.event.cleared; },
              "the entry by which somebody cleared it"}}};
}

template <>
FieldTable<records::FileUsed> describe() {
    using Of = records::FileUsed;
    return {"#/$defs/file_used",
            "as it was when levels were computed from it",
            {{"file", [](const Of& of) { return of.file.file; }},
             {"sha256", [](const Of& of) { return of.file.sha256; }},
             {"entries", &Of::entries}}};
}

template <>
FieldTable<records::DayAnswer> describe() {
    using Of = records::DayAnswer;
    return {
        "#/$defs/day",
        {{"date", [](const Of& of) { return of.total.day; }},
         {"seconds", [](const Of& of) { return of.total.judged->exposure.time; }, "in noise"},
         {"LEX_8h_dB", [](const Of& of) { return of.total.judged->exposure.LEX_8h; }},
         {"at_ear_LEX_8h_dB", [](const Of& of) { return of.total.judged->exposure.at_ear_LEX_8h; }},
         {"at_ear_Pa2h", [](const Of& of) { return of.total.judged->exposure.at_ear_Pa2h; },
          at_least(0.0)},
         {"verdict", [](const Of& of) { return of.total.judged->verdict; }},
         {"sessions", &Of::sessions, "their numbers"},
         {"runs", [](const Of& of) { return of.total.runs; }},
         {"entries", &Of::entries, "that the figures come from"},
         {"lower_bound", [](const Of& of) { return true_if(of.lower_bound); }, means_lower_bound},
         {"missing", [](const Of& of) { return of.total.missing; }},
         {"criteria", [](const Of& of) { return of.total.judged->criteria; }}}};
}

template <>
FieldTable<records::WeekAnswer> describe() {
    using Of = records::WeekAnswer;
    return {
        "#/$defs/week",
        {{"from", [](const Of& of) { return of.total.first; }, "a Monday (ISO 8601)"},
         {"to", [](const Of& of) { return of.total.last; }},
         {"seven_days_to",
          [](const Of& of) {
              return of.total.seven_days ? std::optional(of.total.seven_days_end) : std::nullopt;
          },
          "the last of the seven days in a row, of those that end in this week, by which "
          "weekly doses are judged: the heaviest"},
         {"verdict", &Of::verdict},
         {"entries", &Of::entries},
         {"lower_bound", [](const Of& of) { return true_if(of.lower_bound); }, means_lower_bound},
         {"criteria", &Of::criteria}}};
}

template <>
FieldTable<records::PersonAnswer> describe() {
    using Of = records::PersonAnswer;
    return {
        "#/$defs/person",
        "one person in one role",
        {{"as", &Of::as, "one of the person's codes"},
         {"codes", &Of::codes},
         {"role", &Of::role},
         {"verdict", &Of::verdict, "the worst of all days and weeks"},
         {"lower_bound", [](const Of& of) { return true_if(of.lower_bound()); }, means_lower_bound},
         {"days", &Of::days, "on which anything was heard"},
         {"weeks", &Of::weeks},
         {"months", &Of::months},
         {"missing", &Of::missing},
         {"events", &Of::events},
         {"files", &Of::files}}};
}

template <>
FieldTable<records::TotalsReport> describe() {
    using Of = records::TotalsReport;
    return {
        "register-totals.schema.json",
        "earbudget register totals --format json: exposure by person, role, day, week and month",
        {{members_of, [](const Of&) { return Program{}; }},
         command<Of>("register"),
         {members_of,
          [](const Of& of) {
              return records::AnswerBegin{"totals", of.file, of.record};
          }},
         {"from", [](const Of& of) { return of.wanted.from; },
          "null: from the first that is recorded"},
         {"to", [](const Of& of) { return of.wanted.to; }, "counted too; null: to the last"},
         {"verdict", &Of::verdict},
         {"lower_bound", [](const Of& of) { return true_if(of.lower_bound()); }, means_lower_bound},
         {"people", &Of::people},
         {"roles", &Of::roles, "everybody in a role"},
         {"sources", &Of::sources, "of the criteria"},
         {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::records {

std::string totals_json(const TotalsReport& report) { return report::json_of(report); }

const report::ObjectShape& totals_shape() { return report::object_shape<TotalsReport>(); }

}  // namespace earbudget::records
