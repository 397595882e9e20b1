#pragma once

#include <optional>
#include <span>
#include <vector>

#include "earbudget/acoustics/trace.hpp"
#include "earbudget/exposure/limit.hpp"
#include "earbudget/limits/judge.hpp"

namespace earbudget {

inline constexpr Formula formula_of_longest_time{
    "T = (limit − others) / rate, the smallest of all limits, to a thousandth of a second down",
    "doses and energies are straight lines in time; derived"};
inline constexpr Formula formula_of_longest_with_hour{
    "the longest T, to a thousandth of a second down, that keeps the sums below and with which no "
    "hour is above its limit, as every shorter time does",
    "IEC 61672-1:2013, 3.11 (clause from memory), over one hour; found by halving"};

/// A limit on a sum over the day as a straight line in one time T: fixed + rate·T <= limit.
struct BudgetLine {
    const Criterion* criterion;
    double limit;  ///< dose in percent, or energy: Σ t·10^(L/10) in seconds
    double fixed;
    double rate;  ///< a second
};

/// Adds them as rows of a step, whose last column is `rate`.
void add_lines(const std::vector<BudgetLine>& lines, const char* rate, StepOf& step);

/// What each row of a day takes of what each exposure limit of a person allows, so that other
/// times, repeats and numbers of sessions can be judged by adding up. Peaks are left out, since no
/// time changes them.
class DayBudget {
  public:
    DayBudget(const Person& person, const ExposureDay& day, Limits limits = Limits::All);

    /// How long each row lasts now.
    [[nodiscard]] const std::vector<Seconds>& times() const { return times_; }
    [[nodiscard]] unsigned sessions() const { return sessions_; }

    /// Whether any limit is exceeded with these times of the rows and so many sessions.
    [[nodiscard]] bool is_over(std::span<const Seconds> times, unsigned sessions) const;
    [[nodiscard]] bool is_over() const { return is_over(times_, sessions_); }

    /// The longest time T up to `most` with every limit but those on the highest hour kept when
    /// each row lasts fixed + part·T; none: not even at 0 s. Doses and energies are straight lines
    /// in T.
    [[nodiscard]] std::optional<Seconds> longest(std::span<const Seconds> fixed,
                                                 std::span<const double> part, Seconds most) const;

    /// The lines that `longest` solves, for so many sessions.
    [[nodiscard]] std::vector<BudgetLine> lines(std::span<const Seconds> fixed,
                                                std::span<const double> part,
                                                unsigned sessions) const;

    /// What `longest` answers when one row changes its time and the others do not; its time must be
    /// above 0 s.
    [[nodiscard]] std::optional<Seconds> longest_of_row(std::size_t row, Seconds most) const;

    /// Whether the highest hour can exceed its limit at all: no average exceeds its loudest part.
    [[nodiscard]] bool hour_matters() const;

    /// Whether the highest hour exceeds its limit.
    [[nodiscard]] bool is_hour_over(std::span<const Seconds> times, unsigned sessions) const;

    /// Whether a row that lasts at all is above a level that is not permitted for any time.
    [[nodiscard]] bool has_too_loud_row(std::span<const Seconds> times) const;

  private:
    struct Sum {  // a limit on a sum over the day
        ExposureLimit limit;
        std::vector<double> a_second;  // of each row, what a second uses of the limit
        double total;                  // what all use as it is now
    };
    struct Hour {  // a limit on the highest hour
        ExposureLimit limit;
        std::vector<std::optional<LevelA>> levels;  // of each row
    };

    void add(const Criterion& criterion, const ExposureDay& day);
    [[nodiscard]] double used_of(const Sum& sum, std::span<const Seconds> times,
                                 unsigned sessions) const;
    [[nodiscard]] bool can_exceed(const Hour& hour) const;

    std::vector<Seconds> times_;
    std::vector<bool> once_a_day_;
    unsigned sessions_;
    std::vector<std::size_t> course_once_, course_session_;
    std::vector<Sum> sums_;
    std::vector<Hour> hours_;
    std::size_t too_loud_rows_ = 0;
    std::vector<bool> too_loud_;  // rows above a level that is not permitted for any time
};

}  // namespace earbudget
