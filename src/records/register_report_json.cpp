#include "records/register_fields.hpp"
#include "records/register_report.hpp"
#include "report/cautions.hpp"

namespace earbudget::report {

template <>
FieldTable<sessions::PlanRef> describe() {
    using Of = sessions::PlanRef;
    return {{"file", &Of::file},
            {"title", &Of::title},
            {"sha256", &Of::sha256},
            {"data", &Of::data, "cards, catalogue and site, as they were"}};
}

template <>
FieldTable<records::SessionAnswer> describe() {
    using Of = records::SessionAnswer;
    return {
        {"session", &Of::session},
        {"as", &Of::as},
        {"begins", &Of::begins},
        {"ends", &Of::ends, "the last thing that is recorded"},
        {"plan",
         [](const Of& of) { return of.plan.file.empty() ? std::nullopt : std::optional(of.plan); },
         "null of who was present in the session of somebody else"},
        {"person", &Of::person, "its id in the plan"},
        {"role", &Of::role},
        {"runs", &Of::runs},
        {"entries", &Of::entries},
        {"lower_bound",
         [](const Of& of) { return only_if(of.lower_bound, [] { return std::true_type(); }); },
         "brought in from scans that were kept; absent elsewhere"}};
}

template <>
FieldTable<records::LeftDays> describe() {
    using Of = records::LeftDays;
    return {{"from_dB", &Of::from_dB}, {"to_dB", &Of::to_dB, "before this"}, {"days", &Of::days}};
}

template <>
FieldTable<records::CloseDay> describe() {
    using Of = records::CloseDay;
    return {
        {"as", &Of::as}, {"date", &Of::day}, {"entries", &Of::entries}, {"criterion", &Of::result}};
}

template <>
FieldTable<records::RegisterReport> describe() {
    using Of = records::RegisterReport;
    return {
        "register-report.schema.json",
        "earbudget register report --format json: one person's record, one study's, one month of "
        "staff",
        {{members_of, [](const Of&) { return Program{}; }},
         command<Of>("register"),
         {members_of,
          [](const Of& of) {
              return records::AnswerBegin{"report", of.totals.file, of.totals.record};
          }},
         {"of",
          [](const Of& of) { return std::string(records::reports_of[of.of].name); },
          {.names =
               [] {
                   const auto names = records::reports_of.names();
                   return std::vector<std::string>(names.begin(), names.end());
               }}},
         {"title", &Of::title, "the code, the study's title, the month"},
         {"verdict", [](const Of& of) { return of.totals.verdict(); }},
         {"people", [](const Of& of) { return of.totals.people; },
          "of a study their days with a session of it, with all that was heard on them"},
         {"sessions", &Of::sessions, "in order; of a month of staff none"},
         {"days",
          [](const Of& of) {
              Map<std::size_t> all;
              for (const Verdict verdict :
                   {Verdict::Within, Verdict::Close, Verdict::Unknown, Verdict::Over})
                  all.emplace_back(std::string(earbudget::name_of(verdict)), of.days_with(verdict));
              return all;
          },
          "how many came out how",
          {.names = names_of<Verdict>}},
         {"left", &Of::left, "to the tightest limit of each day; negative: over"},
         {"median_left_dB", &Of::median_left_dB, "half of the days at least have that"},
         {"came_close", &Of::close, "every limit that was close or over, the worst first"},
         {"sources", [](const Of& of) { return of.totals.sources(); }, "of the criteria"},
         {"records", [](const Of&) { return records::law_sentences(); },
          "what is asked for records by law, as far as it is known"},
         {"cautions", [](const Of&) { return cautions; }, means_cautions, {.filled = true}}}};
}

}  // namespace earbudget::report

namespace earbudget::records {

std::string report_json(const RegisterReport& report) { return report::json_of(report); }

const report::ObjectShape& report_shape() { return report::object_shape<RegisterReport>(); }

}  // namespace earbudget::records
