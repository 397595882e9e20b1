#pragma once

#include <memory>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/judge.hpp"
#include "sessions/asked_windows.hpp"

namespace earbudget::sessions {

/// What somebody heard, in one role, against the criteria that were in force.
struct Judged {
    DayExposure exposure = {};  ///< of the day; its times are those in noise
    /// Each exposure limit, then its limit on peaks, as an assessment has them.
    std::vector<CriterionResult> criteria = {};
    Verdict verdict = Verdict::Unknown;  ///< the worst of those that decide, else unknown
    bool is_level_unknown = false;       ///< of some part, so that what is not over is undecided
    /// Own the criteria.
    std::vector<std::shared_ptr<const Person>> as_judged = {};

    /// The limit that decides; null where there is none.
    [[nodiscard]] const CriterionResult* tightest() const;
};

/// Judges what was heard by the very functions that judge a plan: judge_joined, judge_peaks,
/// leave_undecided.
///
/// All that a person heard counts, in whatever role and study; the criteria are those of the
/// records in the role that is asked about. Days alike are judged once: pass one object by for many
/// people.
class Judge {
  public:
    explicit Judge(const Calendar& calendar, Drawn drawn = Drawn::AllThatAreSet)
        : calendar_(calendar), drawn_(drawn) {}

    /// By the criteria on a day, its hours included, and by peaks.
    [[nodiscard]] std::shared_ptr<const Judged> day(const std::vector<Heard>& parts, LocalDay day,
                                                    Role role);
    /// By the criteria on a window of a week that ends with, or holds, that day; no peaks. A
    /// calendar week also by LEX,w where only the criterion's text lets that stand for the daily
    /// level; it then decides nothing.
    [[nodiscard]] std::shared_ptr<const Judged> week(const std::vector<Heard>& parts, LocalDay day,
                                                     Role role, Window window);
    /// By all: what is asked of somebody on a day. What lasts beyond the day and its week counts
    /// for them until `until`.
    [[nodiscard]] std::shared_ptr<const Judged> now(const std::vector<Heard>& parts, LocalDay day,
                                                    Role role,
                                                    std::optional<Instant> until = std::nullopt);
    /// The same at a moment of the day: the hour before it counts also where it began before
    /// midnight, as it does for what is run next.
    [[nodiscard]] std::shared_ptr<const Judged> at(const std::vector<Heard>& parts, Instant moment,
                                                   Role role);

    [[nodiscard]] const Calendar& calendar() const { return calendar_; }
    /// How often a day or week was judged, those that were known already left out.
    [[nodiscard]] std::size_t judged() const { return judged_; }

  private:
    struct Known {
        std::vector<SharedRecord> records;  ///< which the key names
        std::shared_ptr<const Judged> judged;
    };
    static constexpr std::size_t most_known = 1024;  // own choice

    [[nodiscard]] std::shared_ptr<const Judged> known_or_judged(
        const std::vector<Heard>& parts, LocalDay day, Role role,
        const std::vector<Window>& windows, std::optional<Instant> until = std::nullopt,
        std::optional<Instant> hours_from = std::nullopt);
    [[nodiscard]] Judged judge(const std::vector<AskedWindow>& windows, Role role) const;
    void judge_exposures(const std::vector<AskedWindow>& windows, const Person& person,
                         std::vector<std::optional<CriterionResult>>& exposures,
                         Judged& judged) const;

    const Calendar& calendar_;
    Drawn drawn_;
    std::unordered_map<std::string, Known> known_ = {};
    std::size_t judged_ = 0;
};

}  // namespace earbudget::sessions
