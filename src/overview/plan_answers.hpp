#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "earbudget/computing/rows.hpp"
#include "earbudget/limits/assessment.hpp"
#include "report/document.hpp"
#include "report/record.hpp"

namespace earbudget::overview {

/// The limit by which somebody's verdict is decided (tightest_limit).
struct TightestLimit {
    std::string criterion;
    std::string quantity;
    std::optional<double> value;
    double limit = 0.0;
    std::string unit;
    bool at_ear = true;
    bool by_bound = false;  ///< a peak that no card states: its margin is no measured one
    std::optional<LevelDifference> margin;
    std::optional<double> probability_over;
    /// As reports say it: "niosh-rel, dose at the ear", "4.2 %", "100 %", "13.8 dB left".
    std::string name_in_words, value_in_words, limit_in_words, left_in_words;
};

/// A person in one line.
struct PersonAnswer {
    std::string id;
    Role role = Role::Participant;
    Verdict verdict = Verdict::Unknown;
    std::optional<TightestLimit> tightest = std::nullopt;  ///< none: no criterion is for the role
};

/// A plan in one line, and its people.
struct PlanAnswer {
    report::SourceFile file;
    std::string title;
    std::string kind = "plan";  ///< or "study", of several visits
    Verdict verdict = Verdict::Unknown;
    std::vector<PersonAnswer> people = {};
    std::string metal = {};  ///< who wears some at the magnet, in words; empty for nobody

    /// Whom the plan's verdict hangs on: of those with the worst verdict who has the least left.
    /// Null where there is nobody.
    [[nodiscard]] const PersonAnswer* decided_by() const;
};

/// Of a limit that was judged.
[[nodiscard]] TightestLimit in_short(const CriterionResult& result);
[[nodiscard]] PlanAnswer answer_to(const Assessment& assessment, report::SourceFile file);

/// What became of a plan since an earlier answer.
enum class PlanChange { New, Verdict, Margin, Same };

inline constexpr auto plan_changes = rows_of<NameRow<PlanChange>>({
    {PlanChange::New, "new"},
    {PlanChange::Verdict, "verdict"},
    {PlanChange::Margin, "margin"},
    {PlanChange::Same, "same"},
});
[[nodiscard]] constexpr std::string_view name_of(PlanChange change) {
    return plan_changes[change].name;
}

/// Margins that differ by no more are the same: less than a level is printed with. Own choice.
inline constexpr LevelDifference least_change{0.05};

/// A plan as an earlier answer has it.
struct EarlierPlan {
    std::string file;
    std::string title;
    Verdict verdict = Verdict::Unknown;
    std::optional<LevelDifference> margin = std::nullopt;  ///< of the tightest limit
};

/// An earlier answer of `assess`, of one plan or of many.
struct EarlierAnswers {
    report::SourceFile file;
    std::vector<EarlierPlan> plans = {};

    /// By the name of its file, without "." and ".." on the way; null where it has no such plan.
    [[nodiscard]] const EarlierPlan* find(const std::string& path) const;
};

/// Reads the JSON that `assess` printed. Throws InputError for anything else.
[[nodiscard]] EarlierAnswers read_earlier(const report::SourceFile& file, const std::string& text);

/// What became of a plan; `before` is null where there was none.
[[nodiscard]] PlanChange change_of(const PlanAnswer& now, const EarlierPlan* before);

/// All that is told of many plans.
struct PlansReport {
    std::vector<PlanAnswer> plans;
    std::optional<EarlierAnswers> earlier = std::nullopt;
    std::size_t left_out = 0;  ///< files of folders that are no plans
    report::RulesUsed rules = {};
    report::Record record = {};

    /// The worst of all.
    [[nodiscard]] Verdict verdict() const;
    /// Those of the earlier answer that are here no more.
    [[nodiscard]] std::vector<EarlierPlan> gone() const;
};

/// On a terminal the record in one line, since many plans have hundreds of files; and keeps
/// its section for pages.
[[nodiscard]] std::string record_in_a_line(const report::Record& record);
void keep_record_on_page(report::Document& document);

/// As JSON, one object, with a line break at its end.
[[nodiscard]] std::string plans_json(const PlansReport& report);

/// As a table for spreadsheets (report/csv_table.hpp): a row a plan, and those that are gone.
[[nodiscard]] std::string plans_csv(const PlansReport& report);

/// To be read: how many have which verdict, one line a plan, what is gone; on a page, and in text
/// with `detail`, each plan's people and the record besides.
[[nodiscard]] report::Document plans_document(const PlansReport& report, bool detail = false);

}  // namespace earbudget::overview
