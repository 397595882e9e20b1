#pragma once

#include <optional>
#include <string>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "records/register_totals.hpp"
#include "report/shape.hpp"

namespace earbudget::records {

/// What a report on a register is about.
enum class ReportOf { Person, Study, StaffMonth };
inline constexpr auto reports_of =
    rows_of<NameRow<ReportOf>>({{ReportOf::Person, "person"},
                                {ReportOf::Study, "study"},
                                {ReportOf::StaffMonth, "staff-month"}});

/// Somebody's part in one session.
struct SessionAnswer {
    std::int64_t session = 0;
    std::string as;
    sessions::PlanRef plan = {};  ///< of who was only present: without a title
    std::string person;           ///< of the plan
    Role role = Role::Participant;
    StatedInstant begins = {}, ends = {};  ///< `ends`: of the last thing that is recorded
    std::size_t runs = 0;
    std::vector<std::int64_t> entries = {};
    bool lower_bound = false;
};

/// On how many days so much was left to the tightest limit, from one number of decibels to before
/// another.
struct LeftDays {
    double from_dB, to_dB;
    std::size_t days;
};

/// A day on which a limit was close or over.
struct CloseDay {
    std::string as;
    sessions::LocalDay day;
    CriterionResult result;
    std::vector<std::int64_t> entries;
};

struct RegisterReport {
    ReportOf of = ReportOf::Person;
    std::string title;  ///< the code, the study's title, the month
    TotalsReport totals;
    std::vector<SessionAnswer> sessions = {};
    // Of a study.
    std::vector<LeftDays> left = {};
    std::vector<CloseDay> close = {};

    [[nodiscard]] std::size_t days() const;
    [[nodiscard]] std::size_t days_with(Verdict verdict) const;
    /// Participants, each once.
    [[nodiscard]] std::size_t people() const;
    /// What is left on half of the days at least; none where it is known of none.
    [[nodiscard]] std::optional<double> median_left_dB() const;
};

/// One person's record: all days in every role, and every session.
[[nodiscard]] RegisterReport report_on_person(const registers::Register& from,
                                              const sessions::Calendar& calendar,
                                              const TotalsWanted& wanted, report::Record record);

/// One study's by the title of its plan: the participants' days with a session of it, each with all
/// that was heard on it. Throws InputError where there is no such session.
[[nodiscard]] RegisterReport report_on_study(const registers::Register& from,
                                             const sessions::Calendar& calendar,
                                             const std::string& title, Instant now,
                                             report::Record record);

/// One month of all staff.
[[nodiscard]] RegisterReport report_on_staff(const registers::Register& from,
                                             const sessions::Calendar& calendar,
                                             sessions::LocalDay month, Instant now,
                                             report::Record record);

[[nodiscard]] std::string report_json(const RegisterReport& report);
[[nodiscard]] report::Document report_document(const RegisterReport& report, bool detail);
[[nodiscard]] const report::ObjectShape& report_shape();

/// How much was left, over all days of a study.
[[nodiscard]] std::vector<report::Drawing> left_figure(const RegisterReport& report);
/// Each member of staff's loudest day beside action values and limits on a day.
[[nodiscard]] std::vector<report::Drawing> staff_figure(const RegisterReport& report);

}  // namespace earbudget::records
