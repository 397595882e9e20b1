#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "records/register_file.hpp"
#include "report/shape.hpp"
#include "sessions/totals.hpp"

namespace earbudget::records {

/// One day of one person, and which entries its figures come from.
struct DayAnswer {
    sessions::DayTotal total;
    std::vector<std::int64_t> entries = {};
    std::vector<std::int64_t> sessions = {};
    bool lower_bound = false;  ///< some of what was heard is known as a lower bound alone
};

/// The same of a week; the entries are those of the calendar week and of the seven days.
struct WeekAnswer {
    sessions::WeekTotal total;
    std::vector<std::int64_t> entries = {};
    bool lower_bound = false;

    /// Against the calendar week, then against seven days in a row.
    [[nodiscard]] std::vector<CriterionResult> criteria() const;
    [[nodiscard]] Verdict verdict() const;
};

struct EventAnswer {
    sessions::HeardEvent event;
    StatedInstant at;
};

/// A card, plan, catalogue or site file as it was when levels were computed from it, and the
/// entries that were.
struct FileUsed {
    sessions::FileHash file;
    std::vector<std::int64_t> entries = {};
};

struct PersonAnswer {
    std::string as;
    std::vector<std::string> codes = {};
    Role role = Role::Participant;
    std::vector<DayAnswer> days = {};
    std::vector<WeekAnswer> weeks = {};
    std::vector<sessions::MonthTotal> months = {};
    sessions::Missing missing = {};
    std::vector<EventAnswer> events = {};
    std::vector<FileUsed> files = {};

    /// The worst of all days and weeks; unknown without any.
    [[nodiscard]] Verdict verdict() const;
    [[nodiscard]] bool lower_bound() const;
};

struct TotalsWanted {
    std::optional<std::string> as = std::nullopt;
    std::optional<Role> role = std::nullopt;
    std::optional<sessions::LocalDay> from = std::nullopt, to = std::nullopt;  ///< both counted
    Instant now = {};         ///< until when what is not stopped counts
    bool silent_too = false;  ///< also who was there and heard no run
};

struct TotalsReport {
    RegisterFile file;
    report::Record record;
    TotalsWanted wanted;
    std::vector<PersonAnswer> people = {};
    std::vector<sessions::RoleTotals> roles = {};

    /// The worst of all; within where nobody is in it.
    [[nodiscard]] Verdict verdict() const;
    [[nodiscard]] bool lower_bound() const;
    /// Where the limits stand, each once.
    [[nodiscard]] std::vector<report::NamedSource> sources() const;
    /// All files, each once.
    [[nodiscard]] std::vector<sessions::FileHash> files() const;
};

/// Exposure by person, role, day, week and month, of what the register holds of that time. Throws
/// InputError for a code that is not known.
[[nodiscard]] TotalsReport totals_of(const registers::Register& from,
                                     const sessions::Calendar& calendar, const TotalsWanted& wanted,
                                     report::Record record);

/// What decides most: the limit that is over, else that with least left, of all days and weeks.
struct Tightest {
    const CriterionResult* result = nullptr;  ///< null where there is none
    std::string when = {};                    ///< "2026-11-05", "week of 2026-11-02"
    const std::vector<std::int64_t>* entries = nullptr;
};
[[nodiscard]] Tightest tightest_of(const PersonAnswer& person);

[[nodiscard]] std::string totals_json(const TotalsReport& report);
/// A row a person, day or week, and criterion; somebody without criteria has one row a day.
[[nodiscard]] std::string totals_csv(std::string_view json);
[[nodiscard]] report::Document totals_document(const TotalsReport& report, bool detail);
[[nodiscard]] const report::ObjectShape& totals_shape();

// Parts that other reports have too.

/// What is not known of somebody, a sentence each; empty where nothing is missing.
[[nodiscard]] std::vector<std::string> missing_sentences(const sessions::Missing& missing);
[[nodiscard]] std::string lower_bound_sentence();
/// On how many days action values were exceeded; empty without any.
[[nodiscard]] std::vector<std::string> action_sentences(const std::vector<sessions::DaysBy>& by);
/// Of all months together.
[[nodiscard]] std::vector<sessions::DaysBy> days_by(const std::vector<sessions::MonthTotal>& all);
/// "niosh-rel, dose at the ear: 42.0 % of 100 %, 3.8 dB left, P(over) 1.2 %".
[[nodiscard]] std::string limit_words(const CriterionResult& result);
/// One answer a person, with what decides.
[[nodiscard]] report::Answers answers_of(const std::vector<PersonAnswer>& people);
/// All days, weeks and months of a person, with a drawing.
[[nodiscard]] std::vector<report::Block> person_blocks(const PersonAnswer& person,
                                                       const std::string& id);
/// What is left to the tightest limit, day by day.
[[nodiscard]] std::vector<report::Drawing> days_figure(const std::string& id,
                                                       const PersonAnswer& person);

}  // namespace earbudget::records
