#pragma once

#include <vector>

#include "earbudget/acoustics/message.hpp"
#include "earbudget/acoustics/trace.hpp"
#include "earbudget/day/criteria_of_person.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/limits/row_peak.hpp"
#include "earbudget/uncertainty/joined_days.hpp"
#include "earbudget/uncertainty/monte_carlo_day.hpp"

namespace earbudget {

/// Over by the best estimate, else close with a probability of being over above the accepted one,
/// else within.
[[nodiscard]] Verdict verdict_by(bool over, std::optional<double> probability_over,
                                 double accepted);

/// By the best estimate alone: over, within, or unknown where the limit is exceeded only by what no
/// method reaches under a protector (ExposureRow::is_unreached), which counts unreduced.
[[nodiscard]] Verdict exposure_verdict(const Criterion& criterion, const ExposureDay& day);

/// Judges a day by the exposure limit of one criterion: by the best estimate alone, as
/// exposure_verdict.
[[nodiscard]] CriterionResult judge_exposure(const Criterion& criterion, const ExposureDay& day);

/// Adds how sure a result is; the verdict may become close.
void add_uncertainty(const MonteCarloResult& drawn, const std::optional<FirstOrder>& first_order,
                     const Policy& policy, CriterionResult& result);

inline constexpr Formula formula_of_peak_limit{"L = 20 lg(p / 20 µPa)", "level of the pressure p"};
inline constexpr Formula formula_of_highest_peak{
    "the highest peak of all rows outside: LCpeak, or for an unweighted limit the higher of both; "
    "what states none by its bound",
    "this limit is on the peak outside"};
inline constexpr Formula formula_of_highest_peak_at_ear{
    "the highest of all rows of LCpeak − reduction; what states no peak by its bound",
    "DGUV Information 212-024, annex 1 (methods from EN 458; editions not confirmed): one "
    "protector with H, M and L, well "
    "seated and worn all the time; else the reduction is 0"};
inline constexpr Formula formula_of_peak_probability{
    "P = the largest Φ((L − limit)/u) of all rows, L 3 dB higher where LCpeak stands for the "
    "unweighted peak, u stated or by default",
    "ISO/IEC Guide 98-3 (memory), normal errors that all rows share; derived"};

/// Judges a day by the peak limit of one criterion: by the peak outside, or, where the limit is at
/// the ear, by what a single protector leaves of it (peak_reduction).
///
/// Over where a stated peak is. Else unknown where some sequence or other noise states none and no
/// bound (peak_bound) keeps the limit, or where LCpeak stands for the unweighted peak and is within
/// 3 dB of the limit; a warning says whose peak is not known. By a bound where nothing is unknown
/// and some peak is not stated. None where the criterion has no such limit or nothing heard has, or
/// should have, a peak. Leaves in the trace how it came about; `key` is where it stands in JSON.
[[nodiscard]] std::optional<CriterionResult> judge_peak(
    const Criterion& criterion, const Plan& plan, const Person& person, const ExposureDay& day,
    std::vector<Warning>& warnings, Trace* trace = nullptr, const std::string& key = "");

/// The same of peaks that are known (row_peaks), and of the sequences whose levels nobody measured
/// (unmeasured_in): of a day that was heard.
[[nodiscard]] std::optional<CriterionResult> judge_peaks(const Criterion& criterion,
                                                         const Person& person,
                                                         const std::vector<RowPeak>& peaks,
                                                         const std::vector<Message>& unmeasured,
                                                         std::vector<Warning>& warnings);

/// How many draws stand behind a probability.
enum class Drawn {
    AllThatAreSet,   ///< with what 95 % of the draws do not exceed
    AsFewAsAreSure,  ///< the probability alone, by a bound or few draws where those leave no doubt
};

/// Judges parts of somebody's time that were joined by the exposure limits of the person's policy
/// that are for the role, in their order; peaks are left out.
[[nodiscard]] std::vector<CriterionResult> judge_joined(const DrawSettings& draws,
                                                        const Person& person,
                                                        const JoinedDays& joined,
                                                        const std::vector<Message>& unmeasured,
                                                        Drawn drawn = Drawn::AllThatAreSet);

/// Which peak limits are asked for: those on the peak outside, which nothing worn changes, those at
/// the ear, or both.
enum class PeakPlace { Outside, AtEar, Anywhere };

/// By each limit on the peak there that decides and can be judged.
[[nodiscard]] std::vector<CriterionResult> peak_results(const Plan& plan, const Person& person,
                                                        const ExposureDay& day, PeakPlace where);

/// The worst of judge_peak over the criteria for the person's role, wherever the levels come from
/// (CriterionResult::by_probability); none where none says anything.
[[nodiscard]] std::optional<Verdict> worst_peak_verdict(const Plan& plan, const Person& person,
                                                        const ExposureDay& day,
                                                        PeakPlace where = PeakPlace::Anywhere);

/// Whether the best estimate of any criterion for the person's role is over its limit on this day.
/// Peaks are left out, see worst_peak_verdict: no time changes them. What no method reaches counts
/// unreduced.
[[nodiscard]] bool is_over_any(const Person& person, const ExposureDay& day,
                               Limits limits = Limits::All);

/// The worst exposure_verdict of all criteria for the person's role; unknown where there is none.
[[nodiscard]] Verdict worst_best_estimate(const Person& person, const ExposureDay& day,
                                          Limits limits = Limits::All);

/// The worst verdict of all criteria for the person's role on this day, peaks left out, wherever
/// the levels come from; unknown where no criterion is for the role.
[[nodiscard]] Verdict worst_exposure_verdict(const Plan& plan, const Person& person,
                                             const ExposureDay& day, Limits limits = Limits::All);

// What must be known to read the verdict by a limit.
// clang-format off
#define EARBUDGET_REMARKS(row) \
    row(AboveCeiling, "nn") row(OverAWeek, "n") row(WhenAbove, "p") row(NoMethodReaches, "np") \
    row(WithoutThat, "nn") row(PeakOutside, "n") row(PeakAtEar, "m") row(LessThanOutside, "nnm") \
    row(ReductionByM, "nn") row(ReductionByL, "nn") row(SmallerReduction, "nnn") \
    row(AsOutside, "n") row(CForUnweighted, "") row(ByBound, "lnnnn") row(HighestKnown, "nn") \
    row(NoPeakStated, "l") row(NotMeasured, "p") row(NotMeasuredOne, "ss") \
    row(RecordingToMake, "") row(ExampleLevels, "s") row(ExamplePosition, "s") \
    row(ExampleBackground, "") row(ExampleProtector, "s") row(ExamplePlan, "") \
    row(RestsOnExamples, "p") row(MadeForOthers, "")
// clang-format on
EARBUDGET_PHRASES(RemarkPhrase, EARBUDGET_REMARKS)

/// Limits that are made for others tell a person of whom lacks_limit_of_age only what is over: all
/// else becomes unknown.
void leave_undecided(std::vector<CriterionResult>& criteria);

/// How near something is to a limit: by its verdict, then by what is left.
struct Tightness {
    Verdict verdict = Verdict::Within;
    /// What is left; none, which counts as the most, where it is not known or by a bound, which is
    /// no measured margin.
    std::optional<LevelDifference> left = std::nullopt;
};

[[nodiscard]] Tightness tightness_of(const CriterionResult& result);

/// The one order in which a list, a plan, a study and `choose` find the tightest limit and whose it
/// is.
[[nodiscard]] bool is_tighter(const Tightness& one, const Tightness& other);
[[nodiscard]] bool is_tighter(const CriterionResult& one, const CriterionResult& other);

/// The tightest of those that decide, the first of several; null where there is none.
[[nodiscard]] const CriterionResult* tightest_of(const std::vector<const CriterionResult*>& limits);

/// The limit that decides a person's verdict, wherever it is told: the tightest of all. Without
/// peaks, where asked for; null where there is none.
[[nodiscard]] const CriterionResult* tightest_limit(const PersonResult& person,
                                                    bool with_peaks = true);

}  // namespace earbudget
