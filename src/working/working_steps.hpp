#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "earbudget/acoustics/formula.hpp"
#include "earbudget/day/hearing_day.hpp"
#include "earbudget/limits/assessment.hpp"
#include "earbudget/uncertainty/drawn_day.hpp"
#include "earbudget/working/working.hpp"

namespace earbudget {

/// Anything that a step can show.
[[nodiscard]] inline WorkingValue shown(double number) { return number; }
[[nodiscard]] inline WorkingValue shown(std::string_view word) { return std::string(word); }
[[nodiscard]] inline WorkingValue shown(const std::string& word) { return word; }
[[nodiscard]] inline WorkingValue shown(const char* word) { return std::string(word); }
[[nodiscard]] inline WorkingValue shown(Seconds time) { return time.count(); }
[[nodiscard]] inline WorkingValue shown(LevelDifference difference) { return difference.dB(); }
template <class Q>
[[nodiscard]] WorkingValue shown(Level<Q> level) {
    return level.dB();
}
template <class T>
[[nodiscard]] WorkingValue shown(const std::optional<T>& value) {
    return value ? shown(*value) : WorkingValue{};
}

/// Builds a step from its parts.
class StepOf {
  public:
    StepOf(std::string what, std::vector<std::string> of, const Formula& formula)
        : step_{.what = std::move(what),
                .of = std::move(of),
                .formula = std::string(formula.text),
                .source = std::string(formula.source)} {}

    StepOf& then(Message says) {
        step_.then = std::move(says);
        return *this;
    }
    template <class T>
    StepOf& value(std::string name, const T& value) {
        step_.values.push_back({std::move(name), shown(value)});
        return *this;
    }
    StepOf& columns(std::vector<std::string> names) {
        step_.columns = std::move(names);
        return *this;
    }
    /// Those that follow from the others of their row.
    StepOf& worked(std::vector<std::string> names) {
        step_.worked_columns = std::move(names);
        return *this;
    }
    template <class... T>
    StepOf& row(const T&... cells) {
        step_.rows.push_back({shown(cells)...});
        return *this;
    }
    template <class T>
    [[nodiscard]] WorkingStep is(const T& result, std::string unit) {
        step_.result = shown(result);
        step_.unit = std::move(unit);
        return std::move(step_);
    }

  private:
    WorkingStep step_;
};

/// Says of all steps from the n-th on what they are about.
void name_topics(std::size_t from, const std::vector<std::string>& ids, Working& working);

/// The sequence that a row is of; empty without one.
[[nodiscard]] std::vector<std::string> topics_of(const Plan& plan, const HeardRow& row);

/// Of a value searched in tenths of a decibel, without what binary fractions add.
[[nodiscard]] double in_tenths(LevelDifference difference);

/// "criteria[2].value" and the like.
[[nodiscard]] std::string key_of(std::string_view list, std::size_t index, std::string_view key);

/// What a row is, for people: sequence or rest, with position or task.
[[nodiscard]] std::string words_of(const Plan& plan, const Person& person, const HeardRow& row);

/// Where the rows' levels at the ear stand in JSON; empty keys where they are in no list.
enum class RowKeys { Segments, None };

/// How every distinct sound of a day comes to the ear.
void work_out_levels(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                     const HearingDay& day, RowKeys keys, Working& working);

/// Beside a rating of octave data that the label's stands for: of another performance than 84 % it
/// is never on the wrong side of the label (rating_at_performance.hpp).
inline constexpr const char* held_at_label = "held_at_label_dB";

/// The prediction of one sound by the method.
void work_out_prediction(const Plan& plan, const std::vector<std::string>& wears,
                         const HeardRow& row, const std::string& name, Working& working);

/// The rows that lie in a stretch of an hour, each with its time in it.
void add_rows_between(const Plan& plan, const Person& person, const HearingDay& day, HeardAs as,
                      const LoudestStretch& stretch, StepOf& step);

/// LEX,8h at the ear of a day.
[[nodiscard]] WorkingStep daily_exposure_step(const Plan& plan, const Person& person,
                                              const HearingDay& day, std::string what,
                                              std::vector<std::string> of);

/// The day's exposure, shares and totals.
void work_out_exposure(const Plan& plan, const PersonResult& result, const HearingDay& day,
                       Working& working);

/// What else is said of the day: shares, spread of methods, a poor seat.
void work_out_outcomes(const Plan& plan, const PersonResult& result, Working& working);

/// The average at the ear over the rows with a sequence.
void work_out_scanning(const Plan& plan, const Person& person, const std::vector<HeardRow>& rows,
                       const std::optional<LevelA>& level, const std::string& of, Working& working);

/// What every method says.
void work_out_methods(const Plan& plan, const Person& person, const std::vector<std::string>& wears,
                      const Wearing& wearing, const std::vector<MethodOutcome>& methods,
                      Working& working);

/// One criterion's value, margin and probability; `key` is where it stands among the results.
void work_out_criterion(const Plan& plan, const Person& person, const HearingDay& day,
                        const CriterionResult& result, const std::string& key, Working& working);

/// A peak at the ear or outside: reductions, bounds, then the highest.
void work_out_peak(const Plan& plan, const Person& person, const HearingDay& day,
                   const CriterionResult& result, std::vector<std::string> of, Working& working);

/// The probability of a stated peak being over.
void work_out_peak_probability(const Plan& plan, const Person& person, const HearingDay& day,
                               const CriterionResult& result, std::vector<std::string> of,
                               Working& working);

/// What the protectors of a day take off at the mean of every error, and how that differs between
/// people: the octave bands behind it, for the first-order uncertainty of all criteria at the ear.
void work_out_mean_reductions(const Plan& plan, const PersonResult& result, const HearingDay& day,
                              Working& working);

/// How sure a criterion's result is; `of` is empty where it has no keys.
void work_out_uncertainty(const Plan& plan, const Person& person, const HearingDay& day,
                          const CriterionResult& result, const std::string& of, Working& working);

/// What the draws give for the accepted probability.
[[nodiscard]] WorkingStep confident_step(const Plan& plan, const Person& person, std::string what,
                                         std::vector<std::string> of, double result,
                                         std::string unit,
                                         const Formula& formula = formula_of_confident);

/// Whether ratings stand as computed or as on a label, to whole decibels.
enum class Rounding { None, WholeDecibels };

/// How H, M and L were computed.
struct HmlWorking {
    Rounding rounding;
    RatingEdition edition = RatingEdition::Of2018;
};

/// H, M and L from octave-band data; `of` is what stands before their names in the keys.
void work_out_hml(const OctaveAttenuation& attenuation, double alpha, const Hml& hml,
                  const HmlWorking& how, const std::string& of, Working& working);

/// Longest times, repeats and required reductions.
void work_out_advice(const Plan& plan, const PersonResult& result, const HearingDay& day,
                     Working& working);

}  // namespace earbudget
