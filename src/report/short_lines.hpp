#pragma once

#include <string>
#include <vector>

#include "report/sheet_parts.hpp"
#include "report/short_answer.hpp"

namespace earbudget::report {

// The lines of a short answer about people alike, in the order in which they stand; each empty
// where there is nothing to say.

inline constexpr std::size_t columns_of_people = 38;
inline constexpr std::size_t indent_of_lines = 2;

/// Of people alike what a short answer is made from.
struct InShort {
    const Plan* plan;
    std::vector<std::string> ids;
    const PersonResult* planned;
    const HandOut* out;  ///< null: not looked for

    [[nodiscard]] SheetPerson on_sheet() const { return {planned, out}; }
    [[nodiscard]] const PersonResult& day() const { return out ? on_sheet().day() : *planned; }
    [[nodiscard]] bool may_start() const {
        if (out) return !may_not_start(on_sheet());
        return planned->verdict <= Verdict::Close;
    }
};

/// What a line on the tightest limit is made from.
struct Tightest {
    const PersonResult* person;              ///< the day that it is of
    const CriterionResult* limit = nullptr;  ///< null where none is one
    Verdict verdict = Verdict::Within;       ///< of all limits
    bool by_origin = false;                  ///< PersonResult::is_limited_by_origin
    std::size_t as_bad = 0;                  ///< how many limits have the same verdict
    std::string when = {};                   ///< at which visit; empty for a plan alone
};

/// The limit that decides, what is left of it first, and the action values beside it.
[[nodiscard]] std::string tightest_line(const Tightest& tightest);

/// By titles, or by ids where those would take too much room.
[[nodiscard]] std::string worn_in_short(const Plan& plan, WornIds worn, bool by_id);

/// What is handed out, or that the person must not start; `with_day` what the day comes to then.
[[nodiscard]] std::string hand_out_line(const InShort& of, bool by_id = false,
                                        bool with_day = true);

/// What must be made sure of before anything is put on.
[[nodiscard]] std::string check_line(const InShort& of);

/// The first advice; where that is said already, the next; no more than so many levels to measure
/// named.
[[nodiscard]] std::string first_line(const InShort& of, bool fit_is_said, std::size_t most_levels);

/// How many more of each loud run fit, the fewest first, no more than `most` of them named; those
/// of which nobody would run as many are counted.
[[nodiscard]] std::string runs_line(const InShort& of, std::size_t most);

}  // namespace earbudget::report
